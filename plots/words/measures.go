// Package words words what charts say: the names of measures and products, their
// units, numbers as they are read, counts and lists.
//
// Text of the log is made fit for drawing here, whatever it holds. Which finding
// a title states is the affair of the charts.
package words

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset"
)

// Units say how the log writes its values; dataset.Units is one.
type Units interface {
	Of(column string) dataset.Unit
	Format(column string, base float64) string
}

// Measure is how a measure is named: in running text (Noun), on an axis, and as
// what there are more or fewer of (Counted, "" where the measure is no count).
type Measure struct{ Noun, Axis, Counted string }

// Of is how the measure of a column is named; of an unknown one, the column's own
// name.
func Of(column string) Measure {
	c, known := dataset.LookUp(column)
	if !known {
		noun := Shorten(strings.TrimSpace(strings.ReplaceAll(Clean(column), "_", " ")), MaxName)
		return Measure{Noun: noun, Axis: noun}
	}
	return Measure{Noun: dataset.Spoken(column), Axis: dataset.AxisName(column), Counted: c.Many}
}

// AxisTitle is the measure in words with the unit it is shown in.
func AxisTitle(column string, u Units) string {
	w := Of(column).Axis
	if symbol := u.Of(column).Symbol; symbol != "" {
		return fmt.Sprintf("%s (%s)", w, Clean(symbol))
	}
	return w
}

// PerBase is what base values of column are multiplied by for display.
func PerBase(column string, u Units) float64 {
	if k := u.Of(column).PerBase; k > 0 && !math.IsInf(k, 0) {
		return k
	}
	return 1
}
