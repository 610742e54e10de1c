package encode

import (
	"cmp"
	"io"
	"math"
	"strconv"
)

// Table is one table, for a CSV file and for a page, both in the log's units.
type Table struct {
	ID, Title string
	Columns   []Column
	Rows      [][]Cell
	RowIDs    []string // targets of a page's links, one for each row; nil = none
}

// Column describes a column: its key and unit for the CSV, its words for a page ("" for
// a column that only the CSV has, mostly units).
type Column struct {
	Key, Words string
	Numeric    bool
	Unit       string
}

// Cell is one cell: its text on a page, the value that a numeric column sorts by (NaN =
// missing), and the text in the CSV if that is not the value.
type Cell struct {
	Text  string
	Value float64
	CSV   string
	Note  string // unfolds below the text on a page
}

// As returns the cell with another text for the CSV than its value.
func (c Cell) As(csv string) Cell {
	c.CSV = csv
	return c
}

// Word returns a cell of words.
func Word(s string) Cell { return Cell{Text: s, Value: math.NaN()} }

// Figure returns a cell of a number and the text that shows it.
func Figure(v float64, text string) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{Text: "–", Value: math.NaN()}
	}
	return Cell{Text: text, Value: v}
}

// Blank returns a cell of a numeric column without a number.
func Blank() Cell { return Cell{Value: math.NaN()} }

// Whole returns a cell of a whole number.
func Whole(n int) Cell { return Figure(float64(n), strconv.Itoa(n)) }

// WordColumn returns a column of words.
func WordColumn(key, words string) Column { return Column{Key: key, Words: words} }

// FigureColumn returns a column of numbers.
func FigureColumn(key, words string) Column {
	return Column{Key: key, Words: words, Numeric: true}
}

// In returns the column with a unit.
func (c Column) In(unit string) Column {
	c.Unit = unit
	return c
}

// TableCSV writes a table as CSV.
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

// Without leaves out the columns k for which empty[k] is true.
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
