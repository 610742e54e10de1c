package trend

import (
	"math"
	"testing"
)

// Slopes are reported for doubling from a span of 1.5 on, else for a step inside
// the log.
func TestFactorLiesInsideTheLogRule(t *testing.T) {
	for _, c := range []struct{ span, want float64 }{
		{4, 2}, {1.51, 2}, {1.5, 2}, {1.49, 1.25}, {1.2, 1.1}, {1.06, 1.05}, {1.001, 1.02},
	} {
		tr := &Trend{Points: []Point{{X: 100}, {X: 100 * c.span}, {X: 101}}}
		if got := tr.Factor(); got != c.want {
			t.Errorf("a log that spans %g is told by %g, want %g", c.span, got, c.want)
		}
		if got := tr.Factor(); got != 2 && c.span > 1.02 && got > c.span {
			t.Errorf("a step of %g outside a log that spans %g", got, c.span)
		}
	}
	if got := (&Trend{}).Factor(); math.IsNaN(got) || got <= 1 {
		t.Errorf("without points: %g", got)
	}
}
