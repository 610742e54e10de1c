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
	by := " By its mass and size the wall has " + quantity(u, "can_gauge", f.ImpliedGauge)
	if f.OfSize() {
		return by + " as well: not its make is unusual but its size."
	}
	return by + "."
}
