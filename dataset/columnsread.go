package dataset

import (
	"slices"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/layout"
)

// Sheets says which sheets of a workbook a log was read from.
type Sheets = layout.Sheets

// ColumnsRead says which openings and columns of a file a log holds: headers that
// were read as which columns, in the order of the file.
type ColumnsRead struct {
	Sheets  Sheets         `json:"sheets,omitzero"`
	Read    []ReadColumn   `json:"columns_read"`
	NotUsed []UnusedColumn `json:"not_used"` // kept under their own names, for trends of one's own
	Where   Selection      `json:",inline"`
}

// ReadColumn is a header that was read as a column.
type ReadColumn struct {
	Column string `json:"column"`
	Header string `json:"header"`           // as the log writes it
	Unit   string `json:"unit" null:"zero"` // unit or currency the column is written in, "" for counts and texts
	Why    string `json:"why" null:"zero"`  // what decided, where the header may mean several columns
}

// UnusedColumn is a header that is none of the columns a log may have.
type UnusedColumn struct {
	Column string   // its name in the log
	Header string   `json:"header"`
	MayBe  []string `json:"may_be"`          // columns it may mean, where that could not be decided
	Why    string   `json:"why" null:"zero"` // why it is not read although it looks like a column
}

// ColumnsRead returns what the headers were read as. The slices are the caller's
// own.
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

// Using counts columns of the log's own, by their names in it, as read: those
// that a run is about.
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

// Filled returns the number of openings for which a column of the log holds
// something that can be used.
func (l *Log) Filled(column string) int {
	if c := l.find(column); c != nil {
		return c.Filled()
	}
	return 0
}

// Headers are those of a log as its file has them, in order, a blank one for each
// field without; separator is what stands between the fields of its rows.
func (l *Log) Headers() (headers []string, separator rune) {
	for _, h := range l.layout.Headings {
		headers = append(headers, h.Text)
	}
	return headers, l.layout.Comma
}
