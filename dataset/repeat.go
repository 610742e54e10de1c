package dataset

import (
	"math"
	"slices"

	"pleatstat/dataset/internal/cells"
)

// Repeat is one cell with several readings of the same quantity.
type Repeat = cells.Repeat

// Repeatability is the repeatability of a measure: the pooled standard
// deviation of the readings within cells that hold several.
type Repeatability struct {
	SD       float64 `json:"sd"`       // base unit; NaN if DF is 0
	Cells    int     `json:"cells"`    // cells with several readings
	Readings int     `json:"readings"` // readings in those cells
	DF       int     `json:"df"`       // Readings − Cells
}

// Repeatability pools the variances within the cells that hold several
// readings: SD² = Σ(nᵢ−1)sᵢ² / Σ(nᵢ−1), the repeatability variance of ISO
// 5725-2 (from memory). Cells set aside do not count.
func (l *Log) Repeatability(column string) Repeatability {
	out := Repeatability{SD: math.NaN()}
	c := l.byName[column]
	if c == nil {
		return out
	}
	var ss float64
	for _, r := range c.Repeated() {
		ss += float64(r.N-1) * r.SD * r.SD
		out.Cells++
		out.Readings += r.N
	}
	if out.DF = out.Readings - out.Cells; out.DF > 0 {
		out.SD = math.Sqrt(ss / float64(out.DF))
	}
	return out
}

// Repeats returns the cells of a column that hold several readings, in row
// order, without those set aside. The caller owns the slice.
func (l *Log) Repeats(column string) []Repeat {
	if c := l.byName[column]; c != nil {
		return slices.Clone(c.Repeated())
	}
	return nil
}

// Resolution returns the step in which a column is logged (0.01 mm, 1/8 in), in
// base units: the largest common step of which nearly all single readings are
// multiples, in the unit used in the log. It is NaN for fewer than five values,
// or if no step fits.
func (l *Log) Resolution(column string) float64 {
	if step, ok := l.steps.Load(column); ok {
		return step.(float64)
	}
	step := math.NaN()
	if c := l.byName[column]; c != nil {
		step = c.Resolution()
	}
	l.steps.Store(column, step)
	return step
}
