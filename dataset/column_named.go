package dataset

import (
	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/units"
)

// ColumnNamed finds the recorded column that a header, or a name typed by a
// person, means: its own name, a synonym or its parts, with a unit in it or not
// (then unit is ""). It is false where none or several may be meant.
func ColumnNamed(text string) (column, unit string, ok bool) {
	m, ok := header.Match(text)
	if !ok || m.Both || len(m.Others) > 0 {
		return "", "", false
	}
	c := catalogue.At(m.Column)
	if d, measured := c.Kind.Dimension(); measured {
		if u, known := units.Find(m.Unit, d); known {
			unit = u.Symbol
		}
	}
	return c.Name, unit, true
}
