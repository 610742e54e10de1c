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
	c := recorded[m.column]
	if d, measured := dimension(c.Kind); measured {
		if u, known := units.Find(m.unit, d); known {
			unit = u.Symbol
		}
	}
	return c.Name, unit, true
}

// Headers are those of a log as its file has them, in order, a blank one for each
// field without; separator is what stands between the fields of its rows.
func (l *Log) Headers() (headers []string, separator rune) {
	for _, h := range l.layout.headings {
		headers = append(headers, h.text)
	}
	return headers, l.layout.comma
}
