package dataset

import (
	"slices"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/units"
)

// ColumnsNamed finds the recorded columns that a header, or a name typed by a
// person, may mean: by their names, synonyms or parts, with a unit in it or not (then
// unit is ""). Several where the words leave it open, nil where they mean no column.
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

// ColumnsNamed finds what a typed name means among the columns of the log: the
// very name of one, the header that one stands under, or whatever the same words
// would mean as a header ("can wall", "OD of can"). It
// gives the names as Names has them, several where the words leave it open; a
// column that pleatstat knows and the log lacks only where nothing in the log is
// meant; nil for words that mean no column.
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
	called := func(name string) bool { // by its name, or as texts and charts call it
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

// NearestColumn names the recorded column that a typed name is a slip of the pen
// of ("can gague"), "" for none.
func NearestColumn(typed string) string { return header.Nearest(typed) }
