package drift

import (
	"math"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
)

// The current value of a part: the mean of its readings, after a step of those
// since, and the last one if it is still changing.
func TestAPartStandsAsItIsMadeNow(t *testing.T) {
	log, err := dataset.Read(strings.NewReader("opened,maker,part,can_gauge_mm\n"+
		"2021-05-01,Skerrow,SK-1,0.50\n2023-05-01,Skerrow,SK-1,0.44\n2024-05-01,Skerrow,SK-1,0.42\n,Skerrow,SK-2,0.40\n"), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	change := func(shape Shape, measure string) []Entry {
		return []Entry{{Maker: "Skerrow", Measure: measure, Verdict: Falling,
			Statement: Statement{Shape: shape, From: time.Date(2022, 6, 1, 0, 0, 0, 0, time.UTC)}}}
	}
	for _, c := range []struct {
		name    string
		changes []Entry
		want    float64
	}{
		{"no change", nil, (0.50 + 0.44 + 0.42) / 3},
		{"another measure's", change(AsStep, "pleats"), (0.50 + 0.44 + 0.42) / 3},
		{"step", change(AsStep, "can_gauge"), (0.44 + 0.42) / 2},
		{"slope", change(AsSlopeSince, "can_gauge"), 0.42},
	} {
		got := AsMadeNow(log, "can_gauge", c.changes)
		if math.Abs(got[0]-c.want) > 1e-12 || got[1] != 0.40 {
			t.Errorf("%s: %v, want %g and 0.40", c.name, got, c.want)
		}
	}
	if none := AsMadeNow(log, "media_area", nil); len(none) != 2 || !math.IsNaN(none[0]) {
		t.Errorf("without readings: %v", none)
	}
}
