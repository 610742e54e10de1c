package dataset

import (
	"slices"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/layout"
)

// Sheets lists the sheets of a workbook from which a log was read.
type Sheets = layout.Sheets

// ColumnsRead describes how a file was read: which headers became which
// columns, in the order of the file, and which openings were selected.
type ColumnsRead struct {
	Sheets  Sheets         `json:"sheets,omitzero"`
	Read    []ReadColumn   `json:"columns_read"`
	NotUsed []UnusedColumn `json:"not_used"` // kept under their own names; a trend can use them
	Where   Selection      `json:",inline"`
}

// ReadColumn is a header that was read as a column.
type ReadColumn struct {
	Column string `json:"column"`
	Header string `json:"header"`           // as written in the log
	Unit   string `json:"unit" null:"zero"` // unit or currency of the cells, "" for counts and texts
	Why    string `json:"why" null:"zero"`  // what decided between several possible columns, "" otherwise
}

// UnusedColumn is a header that is not read as a column of the catalogue.
type UnusedColumn struct {
	Column string   // its name in the log
	Header string   `json:"header"`
	MayBe  []string `json:"may_be"`          // the columns it may mean, where that could not be decided
	Why    string   `json:"why" null:"zero"` // why it is not used although it resembles a column
}

// ColumnsRead returns how the headers were read. The caller owns the slices.
func (l *Log) ColumnsRead() ColumnsRead {
	out := ColumnsRead{Sheets: l.sheets, Where: l.selection}
	for _, c := range l.columns {
		h := l.layout.Headings[c.Field]
		if !c.Known {
			out.NotUsed = append(out.NotUsed, UnusedColumn{c.Name, c.Header, slices.Clone(h.May), h.Unsure})
			continue
		}
		unit := c.Unit.Symbol
		if c.Def.Kind == catalogue.KindMoney {
			unit = l.units.Currency()
		}
		out.Read = append(out.Read, ReadColumn{c.Name, c.Header, unit, h.Why})
	}
	return out
}

// Using returns a copy that counts the named columns of the user's own as read.
// A run uses it for the columns it analyses.
func (c ColumnsRead) Using(names ...string) ColumnsRead {
	out := ColumnsRead{Sheets: c.Sheets, Where: c.Where, Read: slices.Clone(c.Read)}
	for _, u := range c.NotUsed {
		if slices.Contains(names, u.Column) {
			out.Read = append(out.Read, ReadColumn{Column: u.Column, Header: u.Header})
		} else {
			out.NotUsed = append(out.NotUsed, u)
		}
	}
	return out
}

// Filled returns the number of openings with a usable value in a column.
func (l *Log) Filled(column string) int {
	if c := l.find(column); c != nil {
		return c.Filled()
	}
	return 0
}

// Headers returns the headers of the file in order, "" for a field without one,
// and the separator between the fields of a record.
func (l *Log) Headers() (headers []string, separator rune) {
	for _, h := range l.layout.Headings {
		headers = append(headers, h.Text)
	}
	return headers, l.layout.Comma
}
