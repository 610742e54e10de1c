package check

import (
	"math"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/slip"
)

// shower formats a value of a measure for the reader of the log.
type shower func(m measure, base float64) string

// show formats a value in the unit in which the log writes the column.
func (t *table) show(m measure, base float64) string {
	return t.log.Units().Format(m.column(), base)
}

// asWritten is show, except that the reading of the given cell keeps its original
// digits: 4.1 mm, not 4.10 mm.
func (t *table) asWritten(m measure, base float64, cell dataset.Cell) shower {
	return func(other measure, v float64) string {
		from, to, ok := slip.Number(cell.Text)
		if other != m || v != base || !ok || m == price {
			return t.show(other, v)
		}
		unit := t.unitOf(cell, m)
		if unit != t.log.Units().Of(m.column()).Symbol && !strings.Contains(cell.Text, unit) {
			return t.show(other, v) // output is requested in other units than the log's
		}
		return strings.TrimSpace(cell.Text[from:to] + " " + unit)
	}
}

// fine formats a small difference with two significant digits in the column's
// unit.
func (t *table) fine(m measure, base float64) string {
	unit := t.log.Units().Of(m.column())
	return strings.TrimSpace(slip.Plain(base*unit.PerBase, 2) + " " + unit.Symbol)
}

// words is a measure's name in prose.
func words(m measure) string { return catalogue.Words(m.column()) }

// digits formats a positive number with two or three significant digits.
func digits(v float64) string {
	switch {
	case v > 1e6:
		return "over a million"
	case v >= 100:
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 2, 64)
}

// times formats a ratio.
func times(ratio float64) string { return digits(ratio) + " times" }

// unitOf returns the unit a cell is written in: its own, else the one that
// converts the written number into the cell's value, else the column's output
// unit. Empty for counts and money.
func (t *table) unitOf(c dataset.Cell, m measure) string {
	if c.Unit != "" {
		return c.Unit
	}
	if from, to, ok := slip.Number(c.Text); ok && len(c.Readings) == 1 {
		written, err := slip.Value(c.Text[from:to])
		for _, unit := range slip.UnitNames(m.kind()) {
			size, sized := dataset.Convert(1, unit, m.facts().Unit)
			if err == nil && sized == nil && math.Abs(written*size-c.Value) < 1e-6*c.Value {
				return unit
			}
		}
	}
	if len(slip.UnitNames(m.kind())) == 0 {
		return m.facts().Unit
	}
	return t.log.Units().Of(m.column()).Symbol
}

// unitSize returns the size of a cell's unit in base units, 1 for counts and
// money.
func (t *table) unitSize(c dataset.Cell, m measure) float64 {
	if size, err := dataset.Convert(1, t.unitOf(c, m), m.facts().Unit); err == nil && size > 0 {
		return size
	}
	return 1
}

// numberText returns a cell's number without its unit.
func numberText(c dataset.Cell) string {
	if from, to, ok := slip.Number(c.Text); ok {
		return c.Text[from:to]
	}
	return c.Text
}

// without returns what the cell would say without the slip, in its own style.
func (t *table) without(s *slip.Slip, c dataset.Cell, m measure, reading float64) string {
	return s.Undone(c.Text, m.kind(), reading/t.unitSize(c, m))
}
