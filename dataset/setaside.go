package dataset

import (
	"math"
	"slices"
	"sync"
	"time"

	"pleatstat/dataset/internal/cells"
)

// SetAside returns a log in which the given cells count as blank and the
// derived measures are computed without them. The receiver does not change; the
// two logs share what is equal. Cells of text columns and cells outside the log
// are ignored.
func (l *Log) SetAside(blanks []CellRef) *Log {
	out := *l
	out.columns, out.derived = slices.Clone(l.columns), nil
	out.byName, out.steps = map[string]*cells.Column{}, new(sync.Map)
	blank := map[int][]int32{} // rows by index of the column
	for _, cell := range blanks {
		at := slices.IndexFunc(out.columns, func(c *cells.Column) bool { return c.Name == cell.Column })
		if at >= 0 && out.columns[at].Class != cells.Texts && cell.Row >= 0 && cell.Row < l.Rows() {
			blank[at] = append(blank[at], int32(cell.Row))
		}
	}
	for at, rows := range blank {
		c := *out.columns[at]
		c.Aside = slices.Concat(c.Aside, rows)
		slices.Sort(c.Aside)
		c.Aside = slices.Compact(c.Aside)
		out.columns[at] = &c
	}
	for _, c := range out.columns {
		out.byName[c.Name] = c
	}
	out.derive()
	return &out
}

// Opened returns the day on which a filter was opened, or the middle of the
// month or year if only that is known; precision is "day", "month" or "year".
// It is false for an opening without a date.
func (l *Log) Opened(row int) (when time.Time, precision string, ok bool) {
	c := l.byName["opened"]
	if c == nil || row < 0 || row >= len(c.Num) || math.IsNaN(c.At(row)) {
		return time.Time{}, "", false
	}
	return dayOf(c.Num[row]), c.PrecisionOf(row), true
}

// OpenedText returns the date of an opening in ISO 8601, at the precision
// logged; "" if there is none.
func (l *Log) OpenedText(row int) string {
	c := l.byName["opened"]
	if c == nil || row < 0 || row >= len(c.Num) {
		return ""
	}
	return FormatOpened(c.At(row), c.PrecisionOf(row))
}

// Precision returns how precisely the date of an opening is known: "day",
// "month" or "year", "" for an opening without a date.
func (l *Log) Precision(row int) string {
	c := l.byName["opened"]
	if c == nil || row < 0 || row >= len(c.Precision) || c.IsAside(row) {
		return ""
	}
	return c.PrecisionOf(row)
}

// CellRef identifies one cell of a log by its row (opening, from 0) and
// canonical column name.
type CellRef struct {
	Row    int    `json:"row"`
	Column string `json:"column"`
}
