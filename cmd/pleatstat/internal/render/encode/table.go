package encode

import (
	"cmp"
	"io"
	"math"
	"strconv"
)

// Table is one table, as a CSV and as shown on a page, both in the log's units.
type Table struct {
	ID, Title string
	Columns   []Column
	Rows      [][]Cell
	RowIDs    []string // what a page links to; nil = nothing
}

// Column heads a column: its key and its unit in the CSV, its words on a
// page ("" for a column that the CSV alone has, units mostly).
type Column struct {
	Key, Words string
	Numeric    bool
	Unit       string
}

// Cell is a cell: its text on a page, of a numeric column the value it is
// sorted by (NaN = missing), and what the CSV has where that is not the value.
type Cell struct {
	Text  string
	Value float64
	CSV   string
	Note  string // what a page unfolds below the text
}

// As gives a cell what the CSV has instead of its value.
func (c Cell) As(csv string) Cell {
	c.CSV = csv
	return c
}

// Word is a cell of words.
func Word(s string) Cell { return Cell{Text: s, Value: math.NaN()} }

// Figure is a number with the text it is shown as.
func Figure(v float64, text string) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{Text: "–", Value: math.NaN()}
	}
	return Cell{Text: text, Value: v}
}

// Blank is a cell of a numeric column without a number.
func Blank() Cell { return Cell{Value: math.NaN()} }

// Whole is a cell of a whole number.
func Whole(n int) Cell { return Figure(float64(n), strconv.Itoa(n)) }

// WordColumn heads a column of words.
func WordColumn(key, words string) Column { return Column{Key: key, Words: words} }

// FigureColumn heads a column of numbers.
func FigureColumn(key, words string) Column {
	return Column{Key: key, Words: words, Numeric: true}
}

// In gives a column its unit.
func (c Column) In(unit string) Column {
	c.Unit = unit
	return c
}

// TableCSV writes a table for other programs.
func TableCSV(w io.Writer, t Table) error {
	header := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		header[i] = Headed(c.Key, c.Unit)
	}
	rows := make([][]string, len(t.Rows))
	for k, row := range t.Rows {
		rows[k] = make([]string, len(row))
		for i, cell := range row {
			rows[k][i] = cell.Text
			if t.Columns[i].Numeric {
				rows[k][i] = cmp.Or(cell.CSV, Number(cell.Value))
			}
		}
	}
	return CSV(w, header, rows)
}

// Without leaves out the columns that hold nothing in any row.
func (t Table) Without(empty []bool) Table {
	keep := func(k int) bool { return !empty[k] }
	t.Columns = only(t.Columns, keep)
	for i := range t.Rows {
		t.Rows[i] = only(t.Rows[i], keep)
	}
	return t
}

func only[T any](all []T, keep func(int) bool) []T {
	var out []T
	for k, v := range all {
		if keep(k) {
			out = append(out, v)
		}
	}
	return out
}
