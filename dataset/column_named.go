package dataset

import "pleatstat/dataset/internal/units"

// ColumnNamed finds the recorded column that a header, or a name typed by a
// person, means: its own name, a synonym or its parts, with a unit in it or not
// (then unit is ""). It is false where none or several may be meant.
func ColumnNamed(text string) (column, unit string, ok bool) {
	m, ok := matchHeader(text)
	if !ok || m.both || len(m.others) > 0 {
		return "", "", false
	}
	c := At(m.column)
	if d, measured := c.Kind.Dimension(); measured {
		if u, known := units.Find(m.unit, d); known {
			unit = u.Symbol
		}
	}
	return c.Name, unit, true
}
