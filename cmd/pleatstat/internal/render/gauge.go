package render

import (
	"math"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// ofSize says beside a flag on can gauge what mass and size of the can make of its
// wall, and what follows; "" where they are not known.
func ofSize(f trend.Flag, u dataset.Units) string {
	if math.IsNaN(f.ImpliedGauge) || f.ImpliedGauge == 0 {
		return ""
	}
	by := " Its mass and size imply a wall of " + quantity(u, "can_gauge", f.ImpliedGauge)
	if f.OfSize {
		return by + " too: it is its size that is unusual, not its make."
	}
	return by + "."
}
