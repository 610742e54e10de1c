package dataset

import (
	"math"
	"slices"
)

// Repeatability is how well the bench repeats a measure: the pooled standard
// deviation of the readings within cells that hold several.
type Repeatability struct {
	SD       float64 `json:"sd"`       // base unit; NaN when DF is 0
	Cells    int     `json:"cells"`    // cells with several readings
	Readings int     `json:"readings"` // readings in them
	DF       int     `json:"df"`       // Readings − Cells
}

// Repeatability pools the spread of the cells with several readings:
// SD² = Σ(nᵢ−1)sᵢ² / Σ(nᵢ−1), the repeatability variance of ISO 5725-2 (from
// memory). Cells set aside do not count.
func (l *Log) Repeatability(column string) Repeatability {
	out := Repeatability{SD: math.NaN()}
	c := l.byName[column]
	if c == nil {
		return out
	}
	var ss float64
	for _, r := range c.repeated() {
		ss += float64(r.N-1) * r.SD * r.SD
		out.Cells++
		out.Readings += r.N
	}
	if out.DF = out.Readings - out.Cells; out.DF > 0 {
		out.SD = math.Sqrt(ss / float64(out.DF))
	}
	return out
}

// Repeats returns the cells of a column that hold several readings, in order of
// rows, without those set aside. The slice is the caller's own.
func (l *Log) Repeats(column string) []Repeat {
	if c := l.byName[column]; c != nil {
		return slices.Clone(c.repeated())
	}
	return nil
}

// repeated are the repeats that count.
func (c *column) repeated() []Repeat {
	if c.aside == nil {
		return c.repeats
	}
	return slices.DeleteFunc(slices.Clone(c.repeats), func(r Repeat) bool { return c.isAside(r.Row) })
}

// isAside says whether the cell of a row counts as blank although it holds a
// number.
func (c *column) isAside(row int) bool {
	_, aside := slices.BinarySearch(c.aside, int32(row))
	return aside
}

// steps a scale, caliper or tape may be read in, largest first.
var steps = []float64{1, 0.5, 0.25, 0.2, 0.125, 0.1, 0.0625, 0.05, 0.03125, 0.025, 0.02, 0.015625, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0001}

const (
	minForStep = 5    // values from which a step can be told
	stepShare  = 0.95 // of the values that must be multiples of it; the rest are slips
)

// Resolution returns the step a column is logged in (0.01 mm, 1/8 in), in base
// units: the largest usual step of which nearly all single readings are
// multiples in the unit the log writes them in. NaN with fewer than five values,
// or where no step fits.
func (l *Log) Resolution(column string) float64 {
	if step, ok := l.steps.Load(column); ok {
		return step.(float64)
	}
	step := l.resolution(column)
	l.steps.Store(column, step)
	return step
}

func (l *Log) resolution(column string) float64 {
	c := l.byName[column]
	if c == nil || c.class != numbers {
		return math.NaN()
	}
	scale := 1.0
	if c.unit.Base != 0 {
		scale = c.unit.Base
	}
	skipOwn := len(c.ownUnit) > 1 || c.ownUnit[c.unit.Symbol] == 0
	repeats, own := c.repeats, c.own // both by row
	v := make([]float64, 0, len(c.num))
	for row, x := range c.values() {
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
	// Decimals and fractions of an inch in one column share only a grid that is
	// finer than either; the way most cells are written counts.
	decimal := math.Pow(10, -float64(c.decimals()))
	if c.broken > 0 && c.broken < total(c.places) {
		return decimal * scale
	}
	if c.broken > 0 && total(c.places) > 0 {
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
