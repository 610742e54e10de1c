// Package words provides the wording of charts: names of measures and products,
// units, numbers, counts and lists. Clean makes any text from a log fit for drawing.
// Which finding a title states is decided by the charts.
package words

import (
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// Units gives the units in which a log writes its values. dataset.Units implements
// it.
type Units interface {
	Of(column string) dataset.Unit
	Format(column string, base float64) string
}

// Measure holds the names of a measure: in running text (Noun), on an axis (Axis)
// and as a plural after "more" or "fewer" (Counted, "" if it is not a count).
type Measure struct{ Noun, Axis, Counted string }

// Of returns the names of the measure in a column; for an unknown column, the name
// of the column.
func Of(column string) Measure {
	c, known := catalogue.LookUp(column)
	if !known {
		noun := Shorten(strings.TrimSpace(strings.ReplaceAll(Clean(column), "_", " ")), MaxName)
		return Measure{Noun: noun, Axis: noun}
	}
	return Measure{Noun: catalogue.Spoken(column), Axis: catalogue.AxisName(column), Counted: c.Many}
}

// Scale is the unit in which values are shown: K units in a base unit, and the
// symbol of the unit.
type Scale struct {
	K      float64
	Symbol string
}

// ScaleOf returns the scale of a column in the log's units.
func ScaleOf(column string, u Units) Scale {
	unit := u.Of(column)
	s := Scale{K: unit.PerBase, Symbol: Clean(unit.Symbol)}
	if !(s.K > 0) || math.IsInf(s.K, 0) {
		s.K = 1
	}
	return s
}

// Percentages returns the scale that shows fractions in per cent.
func Percentages() Scale { return Scale{K: 100, Symbol: "%"} }

// Title returns the title of an axis: text with the unit in brackets.
func (s Scale) Title(text string) string {
	if s.Symbol == "" {
		return text
	}
	return text + " (" + s.Symbol + ")"
}
