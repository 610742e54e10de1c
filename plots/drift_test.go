package plots

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"pleatstat/stats/drift"
)

func harbourDrift() []drift.Entry {
	bent := gaugeDrift("Veldmarsh", -0.0101, 0, drift.Falling, 6, 8, 3)
	bent.ChangeGradual, bent.ChangeFrom = true, time.Date(2020, 6, 1, 0, 0, 0, 0, time.UTC)
	bent.ChangeEarly, bent.ChangeLate = bent.ChangeFrom.AddDate(0, -7, 0), bent.ChangeFrom.AddDate(0, 9, 0)
	bent.ChangePerYear, bent.ChangePerYearLow, bent.ChangePerYearHigh = -0.0142, -0.0181, -0.0103
	return []drift.Entry{
		gaugeDrift("Skerrow", 0.0004, 0, drift.Steady, 5, 9, 1),
		gaugeDrift("Thornquay", 0, -0.045, drift.Falling, 4, 9, 2),
		bent,
		gaugeDrift("Pellbrook", -0.001, 0, drift.Steady, 3, 7, 4),
		gaugeDrift("Orrinvale", 0.0002, 0, drift.Steady, 3, 9, 5),
		gaugeDrift("Lowmere", -0.0008, 0, drift.Steady, 2, 5, 6),
		gaugeDrift("Brackhollow", -0.0004, 0, drift.TooFew, 1, 3, 7),
		gaugeDrift("Wexcombe", 0.001, 0, drift.Steady, 3, 7, 8),
	}
}

func TestDriftTitleStatesTheFinding(t *testing.T) {
	all := harbourDrift()
	rising := gaugeDrift("Lowmere", 0.012, 0, drift.Rising, 3, 8, 9)
	price := gaugeDrift("Orrinvale", 0.041, 0, drift.Rising, 3, 8, 10)
	price.Measure, price.Relative, price.Unit = "price", true, "%"
	for _, c := range []struct {
		measure string
		entries []drift.Entry
		want    string
	}{
		{"can_gauge", all, "Can gauge is falling at Thornquay and Veldmarsh"},
		{"can_gauge", all[2:6], "Veldmarsh: can gauge has fallen by 0.014\u00a0mm a year since about June 2020"},
		{"can_gauge", all[:2], "Thornquay: can gauge has fallen in one step by 0.045\u00a0mm, around March 2023"},
		{"can_gauge", append([]drift.Entry{rising}, all[2:4]...), "Can gauge is falling at Veldmarsh and rising at Lowmere"},
		{"can_gauge", []drift.Entry{rising, rising}, "Can gauge is rising at Lowmere and Lowmere"},
		{"can_gauge", all[3:6], "No maker's can gauge has changed as far as these openings can tell"},
		{"can_gauge", all[3:4], "No change of can gauge can be told at Pellbrook"},
		{"price", []drift.Entry{all[1], price}, "Orrinvale: price against the market has risen by 4.1\u00a0% a year"},
	} {
		chart, err := Drift(c.entries, c.measure, harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		if chart.Title != c.want {
			t.Errorf("title %q, want %q", chart.Title, c.want)
		}
	}
}

func TestDriftWithNothingToDraw(t *testing.T) {
	nan := gaugeDrift("Skerrow", math.NaN(), 0, drift.Steady, 2, 4, 1)
	bare := gaugeDrift("Skerrow", 0.001, 0, drift.Steady, 2, 4, 1)
	bare.Points = []drift.Observation{{Year: math.NaN()}}
	for _, entries := range [][]drift.Entry{nil, harbourDrift()[6:7], {nan}, {bare}} {
		if _, err := Drift(entries, "can_gauge", harbourSource()); !errors.Is(err, ErrNothingToDraw) {
			t.Errorf("error %v, want ErrNothingToDraw", err)
		}
	}
	if _, err := Drift(harbourDrift(), "pleats", harbourSource()); !errors.Is(err, ErrNothingToDraw) {
		t.Errorf("another measure: error %v, want ErrNothingToDraw", err)
	}
}

func TestDriftLayout(t *testing.T) {
	many := []drift.Entry{}
	for i := range 30 {
		many = append(many, gaugeDrift(fmt.Sprintf("Maker of long name %d", i), 0.0003*float64(i%5), 0, drift.Steady, 3, 6, uint64(i)))
	}
	for _, entries := range [][]drift.Entry{harbourDrift(), harbourDrift()[:1], harbourDrift()[1:2], harbourDrift()[:2], harbourDrift()[:3], many} {
		c, err := Drift(entries, "can_gauge", harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		for _, size := range screenSizes() {
			checkLayout(t, c, size)
		}
	}
	c, err := Drift(many, "can_gauge", harbourSource())
	if err != nil {
		t.Fatal(err)
	}
	b, err := Render(c, Options{Format: SVG})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b, []byte("26 makers more not shown")) {
		t.Error("the makers beyond four panels are not counted")
	}
}

func TestDriftDrawsOddData(t *testing.T) {
	flat := gaugeDrift("Skerrow", 0, 0, drift.Steady, 2, 4, 1)
	for i := range flat.Points {
		flat.Points[i].Deviation = 0
	}
	single := gaugeDrift("Lowmere", 0.001, 0, drift.Steady, 1, 1, 2)
	single.Low, single.High = math.NaN(), math.NaN()
	slip := gaugeDrift("Veldmarsh", 0.001, 0, drift.Steady, 4, 8, 3)
	slip.Points[0].Deviation, slip.Points[0].Value = 400, 400.4
	early := gaugeDrift("Pellbrook", 0, -0.05, drift.Falling, 3, 6, 4)
	early.ChangeFrom = time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC)
	for i, e := range []drift.Entry{flat, single, slip, early} {
		c, err := Drift([]drift.Entry{e}, "can_gauge", Source{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Render(c, Options{Size: Size{480, 270}}); err != nil {
			t.Errorf("case %d: %v", i, err)
		}
	}
	c, err := Drift([]drift.Entry{slip}, "can_gauge", harbourSource())
	if err != nil {
		t.Fatal(err)
	}
	b, err := Render(c, Options{Format: SVG})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b, []byte("one reading beyond the frame")) {
		t.Error("a reading off the scale is not mentioned")
	}
}
