package dataset

import (
	"slices"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/units"
)

// ColumnsNamed returns the recorded columns that a header, or a name typed by a
// user, may mean: by name, by synonym or by its parts. The text may include a
// unit; otherwise unit is "". It returns several columns if the words are
// ambiguous, and nil if they match no column.
func ColumnsNamed(text string) (columns []string, unit string) {
	m, ok := header.Match(text)
	if !ok {
		return nil, ""
	}
	if d, measured := catalogue.Facts(m.Column).Kind.Dimension(); measured {
		u, _ := units.Find(m.Unit, d)
		unit = u.Symbol
	}
	return m.All(), unit
}

// ColumnsNamed returns the columns of the log that a typed name may mean: a
// column of exactly that name, the column under that header, or whatever the
// words would mean as a header ("can wall", "OD of can"). It returns names as
// in Names, several if the words are ambiguous. If nothing in the log matches,
// it returns the matching columns of the catalogue; nil if there are none.
func (l *Log) ColumnsNamed(typed string) []string {
	names := l.Names()
	if slices.Contains(names, typed) {
		return []string{typed}
	}
	key := header.Key(typed)
	if key == "" {
		return nil
	}
	for _, name := range names {
		if header, _ := l.Header(name); header != "" && layout.Key(header) == layout.Key(typed) {
			return []string{name}
		}
	}
	called := func(name string) bool { // by its name, or by the name used in texts and charts
		return slices.ContainsFunc([]string{name, catalogue.Spoken(name), catalogue.AxisName(name)}, func(s string) bool { return header.Key(s) == key })
	}
	if i := slices.IndexFunc(names, called); i >= 0 {
		return names[i : i+1]
	}
	var known []string
	for c := range catalogue.Derived() {
		if called(c.Name) {
			known = append(known, c.Name)
		}
	}
	recorded, _ := ColumnsNamed(typed)
	known = append(known, recorded...)
	inLog := slices.DeleteFunc(slices.Clone(known), func(name string) bool { return !slices.Contains(names, name) })
	if len(inLog) > 0 {
		return inLog
	}
	return known
}

// NearestColumn returns the recorded column of which a typed name is a
// misspelling ("can gague"), "" if there is none.
func NearestColumn(typed string) string { return header.Nearest(typed) }
