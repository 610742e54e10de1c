package dataset

import (
	"math"
	"slices"
	"sync"
	"time"

	"pleatstat/dataset/internal/cells"
)

// SetAside returns a log in which the given cells count as blank, with the
// derived measures computed anew. The receiver is not changed; the two share
// what does not differ. Cells that are neither numbers nor dates of the log are
// passed over.
func (l *Log) SetAside(blanks []CellRef) *Log {
	out := *l
	out.columns, out.derived = slices.Clone(l.columns), nil
	out.byName, out.steps = map[string]*cells.Column{}, new(sync.Map)
	blank := map[int][]int32{} // by place of the column
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

// Opened returns the day an opening was made: the middle of the month or year
// where only that is known, as precision ("day", "month", "year") says. It is
// false for an opening without a date.
func (l *Log) Opened(row int) (when time.Time, precision string, ok bool) {
	c := l.byName["opened"]
	if c == nil || row < 0 || row >= len(c.Num) || math.IsNaN(c.At(row)) {
		return time.Time{}, "", false
	}
	return dayOf(c.Num[row]), c.PrecisionOf(row), true
}

// OpenedText is the date of an opening, ISO 8601 at the precision logged; "" without
// one.
func (l *Log) OpenedText(row int) string {
	c := l.byName["opened"]
	if c == nil || row < 0 || row >= len(c.Num) {
		return ""
	}
	return FormatOpened(c.At(row), c.PrecisionOf(row))
}

// Precision returns how well the date of an opening is known: "day", "month" or
// "year", "" without one.
func (l *Log) Precision(row int) string {
	c := l.byName["opened"]
	if c == nil || row < 0 || row >= len(c.Precision) || c.IsAside(row) {
		return ""
	}
	return c.PrecisionOf(row)
}

// CellRef names one cell of a log by its row (0-based opening) and canonical
// column.
type CellRef struct {
	Row    int    `json:"row"`
	Column string `json:"column"`
}
