package plots

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pleatstat/stats/roundup"
)

// A range that goes on beyond the frame ends in a break, and only such a one.
func TestBarsBeyondTheFrameAreBroken(t *testing.T) {
	frame := Light.colours().frame
	stroke := fmt.Sprintf(`stroke="#%02x%02x%02x"`, frame.R, frame.G, frame.B)
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
		return bytes.Count(out, []byte(stroke))
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
