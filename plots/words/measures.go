// Package words words what charts say: the names of measures and products, their
// units, numbers as they are read, counts and lists.
//
// Text of the log is made fit for drawing here, whatever it holds. Which finding
// a title states is the affair of the charts.
package words

import (
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
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
	c, known := catalogue.LookUp(column)
	if !known {
		noun := Shorten(strings.TrimSpace(strings.ReplaceAll(Clean(column), "_", " ")), MaxName)
		return Measure{Noun: noun, Axis: noun}
	}
	return Measure{Noun: catalogue.Spoken(column), Axis: catalogue.AxisName(column), Counted: c.Many}
}

// Scale is how values of a measure are shown: multiplied by K, in a unit.
type Scale struct {
	K      float64
	Symbol string
}

// ScaleOf is the scale of a column in the log's units.
func ScaleOf(column string, u Units) Scale {
	unit := u.Of(column)
	s := Scale{K: unit.PerBase, Symbol: Clean(unit.Symbol)}
	if !(s.K > 0) || math.IsInf(s.K, 0) {
		s.K = 1
	}
	return s
}

// Percentages is the scale of shares.
func Percentages() Scale { return Scale{K: 100, Symbol: "%"} }

// Title is the title of an axis of the scale.
func (s Scale) Title(text string) string {
	if s.Symbol == "" {
		return text
	}
	return text + " (" + s.Symbol + ")"
}
