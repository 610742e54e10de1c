package plots

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"pleatstat/stats/drift"
	"pleatstat/stats/roundup"
)

// The fine ticks of a logarithmic axis are the 1 to 9 of each decade, as on a
// slide rule; within one decade finer, and never evenly spaced.
func TestFineTicksOfLogAxes(t *testing.T) {
	for _, c := range []struct {
		min, max, k float64
		want        []float64
	}{
		{1, 100, 1, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100}},
		{0.1, 0.3, 100, []float64{0.10, 0.11, 0.12, 0.13, 0.14, 0.15, 0.16, 0.17, 0.18, 0.19, 0.20, 0.22, 0.24, 0.26, 0.28, 0.30}},
		{1, 1e6, 1, nil}, {0, 10, 1, nil}, {5, 5, 1, nil}, {1, math.Inf(1), 1, nil},
	} {
		got := between(c.min, c.max, c.k)
		if len(got) != len(c.want) {
			t.Errorf("%g to %g: %v, want %v", c.min, c.max, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]/c.want[i]-1) > 1e-9 {
				t.Errorf("%g to %g: %v, want %v", c.min, c.max, got, c.want)
				break
			}
		}
	}
}

// The lines drawn through readings stay in the frame, where they do not run far
// off them.
func TestLinesStayInTheFrame(t *testing.T) {
	steep := gaugeDrift("Thornquay", -0.03, 0, drift.Falling, 3, 8, 11)
	for _, e := range append(harbourDrift(), steep) {
		if len(e.Points) == 0 || e.Verdict == drift.TooFew {
			continue
		}
		v := &driftView{measure: e.Measure, units: harbourSource().withDefaults().Units, entries: []drift.Entry{e}, readings: true}
		_, y, _ := v.axes(v.entries)
		ends := v.lineEnds(e)
		if len(ends) < 2 {
			t.Fatalf("%s has no lines", e.Maker)
		}
		for _, end := range ends {
			if end < y.min || end > y.max {
				t.Errorf("%s: a line ends at %g, the frame shows %g to %g", e.Maker, end, y.min, y.max)
			}
		}
	}
}

// A range that goes on beyond the frame ends in a break, and only such a one.
func TestBarsBeyondTheFrameAreBroken(t *testing.T) {
	strokes := func(low, high float64) int {
		var shifts []roundup.Shift
		for i := range 6 {
			shifts = append(shifts, roundup.Shift{Measure: "price", Group: roundup.OpenedAgain, Relative: true, Shift: 0.01 * float64(i),
				Low: 0.01*float64(i) - 0.01, High: 0.01*float64(i) + 0.01, Before: 5, Now: 5})
		}
		shifts[2].Low, shifts[2].High = low, high
		c, err := Shifts(shifts, 2026, 2025, harbourSource())
		out, err2 := Render(must(t, c, err), Options{Format: SVG})
		if err2 != nil {
			t.Fatal(err2)
		}
		return bytes.Count(out, []byte(`stroke="`+hex(themeOf(Light).frame)+`"`))
	}
	within, one, both := strokes(0, 0.04), strokes(-3, 0.04), strokes(-3, 3)
	if one != within+2 || both != within+4 {
		t.Errorf("%d strokes within the frame, %d beyond it on one side, %d on both", within, one, both)
	}
}

// A legend explains the marks that are there, no others.
func TestLegendsNameWhatIsThere(t *testing.T) {
	c, err := Shifts([]roundup.Shift{{Measure: "price", Group: roundup.OpenedAgain, Relative: true, Shift: 0.03, Low: 0.02, High: 0.04, Clear: true, Before: 5, Now: 5}},
		2026, 2025, harbourSource())
	var words []string
	for _, item := range must(t, c, err).legend {
		words = append(words, item.text)
	}
	if got := strings.Join(words, ", "); got != "rose" {
		t.Errorf("the legend of one rise: %s", got)
	}
}
