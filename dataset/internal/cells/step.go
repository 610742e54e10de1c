package cells

import (
	"math"
	"slices"
)

// Repeated returns the cells with several readings, without those set aside.
func (c *Column) Repeated() []Repeat {
	if c.Aside == nil {
		return c.Repeats
	}
	return slices.DeleteFunc(slices.Clone(c.Repeats), func(r Repeat) bool { return c.IsAside(r.Row) })
}

// IsAside reports whether the cell of a row is set aside, so that it counts as
// blank although it holds a number.
func (c *Column) IsAside(row int) bool {
	_, aside := slices.BinarySearch(c.Aside, int32(row))
	return aside
}

// steps lists the resolutions of scales, calipers and tapes, largest first.
var steps = []float64{1, 0.5, 0.25, 0.2, 0.125, 0.1, 0.0625, 0.05, 0.03125, 0.025, 0.02, 0.015625, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0001}

const (
	minForStep = 5    // least number of values from which a step is estimated
	stepShare  = 0.95 // share of the values that must be multiples of the step; the rest are slips
)

// Resolution returns the step in which the column is logged, as Log.Resolution
// in package dataset describes it.
func (c *Column) Resolution() float64 {
	if c.Class != Numbers {
		return math.NaN()
	}
	scale := 1.0
	if c.Unit.Base != 0 {
		scale = c.Unit.Base
	}
	skipOwn := len(c.OwnUnit) > 1 || c.OwnUnit[c.Unit.Symbol] == 0
	repeats, own := c.Repeats, c.Own // both sorted by row
	v := make([]float64, 0, len(c.Num))
	for row, x := range c.Values() {
		several, other := false, false
		for len(repeats) > 0 && repeats[0].Row <= row {
			several = several || repeats[0].Row == row
			repeats = repeats[1:]
		}
		for len(own) > 0 && int(own[0]) <= row {
			other = other || skipOwn && int(own[0]) == row
			own = own[1:]
		}
		if !math.IsNaN(x) && !several && !other {
			v = append(v, x/scale)
		}
	}
	if len(v) < minForStep {
		return math.NaN()
	}
	// If a column mixes decimals and fractions of an inch, their common grid is
	// finer than either. The notation of most cells decides.
	decimal := math.Pow(10, -float64(c.Decimals()))
	if c.Broken > 0 && c.Broken < total(c.Places) {
		return decimal * scale
	}
	if c.Broken > 0 && total(c.Places) > 0 {
		v = slices.DeleteFunc(v, func(x float64) bool { return multiples([]float64{x}, decimal) && !multiples([]float64{x}, 1.0/64) })
	}
	for _, step := range steps {
		if multiples(v, step) {
			return step * scale
		}
	}
	return math.NaN()
}

func total(places [8]int) int {
	n := 0
	for _, k := range places {
		n += k
	}
	return n
}

func multiples(v []float64, step float64) bool {
	allowed := int((1 - stepShare) * float64(len(v)))
	for _, x := range v {
		q := x / step
		if math.Abs(q-math.RoundToEven(q)) > 1e-6*max(1, math.Abs(q)) {
			if allowed--; allowed < 0 {
				return false
			}
		}
	}
	return true
}
