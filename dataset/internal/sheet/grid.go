package sheet

import (
	"bytes"
	"encoding/csv"
	"strings"
)

// Formula is a cell with a formula whose value the workbook does not store.
type Formula struct {
	Row, Column int // 1-based
	Text        string
}

// grid writes the rows of a sheet as CSV, so that the later stages read one
// format, and records the row of each record.
type grid struct {
	text  *Text
	out   bytes.Buffer
	csv   *csv.Writer
	limit int64
	line  int
	cells []string
}

func newGrid(name, encoding string, limit int64) *grid {
	g := &grid{text: &Text{Encoding: encoding, Workbook: true, Sheet: name}, limit: min(limit, MaxFile), line: 1}
	g.csv = csv.NewWriter(&g.out)
	return g
}

// set stores a value in the current row. Columns count from 0.
func (g *grid) set(row, column int, value string) error {
	if value == "" {
		return nil
	}
	if column >= MaxColumns {
		return &LimitError{What: "columns", Line: row, Limit: MaxColumns}
	}
	for len(g.cells) <= column {
		g.cells = append(g.cells, "")
	}
	g.cells[column] = value
	return nil
}

// formula records a cell of the current row whose value is not stored.
func (g *grid) formula(row, column int, text string) error {
	if column >= MaxColumns || len(g.text.Formulas) >= maxRow {
		return &LimitError{What: "sheet " + quoted(g.text.Sheet), Limit: int(g.limit)}
	}
	g.text.Formulas = append(g.text.Formulas, Formula{row, column + 1, "=" + strings.TrimPrefix(text, "=")})
	return nil
}

// end writes the current row unless it is blank.
func (g *grid) end(row int) error {
	if len(g.cells) == 0 {
		return nil
	}
	before := g.out.Len()
	_ = g.csv.Write(g.cells) // a buffer returns no error
	g.csv.Flush()
	if int64(g.out.Len()) > g.limit {
		return &LimitError{What: "sheet " + quoted(g.text.Sheet), Limit: int(g.limit)}
	}
	g.text.starts = append(g.text.starts, int32(g.line))
	g.text.rows = append(g.text.rows, int32(row))
	g.line += bytes.Count(g.out.Bytes()[before:], []byte{'\n'})
	return nil
}

// next starts a new row.
func (g *grid) next() { g.cells = g.cells[:0] }

// done returns the sheet as text.
func (g *grid) done() *Text {
	g.text.Data = g.out.Bytes()
	return g.text
}

func quoted(name string) string { return `"` + name + `"` }
