package dataset

import (
	"math"
	"slices"
	"strings"
	"sync"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/datecode"
	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/reader"
	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

// Log is a log as read from a file. It does not change after it is built and
// may be used by several goroutines at once.
type Log struct {
	file     string
	text     *sheet.Text
	layout   *layout.Layout
	mark     cellparse.Mark
	offsets  []uint32
	lines    []int32
	columns  []*cells.Column          // in the order of the file
	derived  []*cells.Column          // in the order of catalogue.Derived
	byName   map[string]*cells.Column // columns by name, without derived measures
	product  []int32
	products int
	label    []int32 // by row, index of the pair of maker and part; nil where each product has one pair
	labels   int
	firstOf  []int // by product, the row of its first opening; set only if label is
	ledger   problem.Ledger
	problems []Problem
	units    Units
	sheets   Sheets
	lost     []string                 // headers of columns that hold only formulas without stored values
	foreign  map[int]foreignPrice     // by row; prices in other currencies
	claims   map[int32]Claim          // by row; efficiencies that state more than a number
	inside   map[string]*cells.Column // inputs of formulas that are not columns themselves
	made     *cells.Column            // date of manufacture from date_code; nil if no code can be read
	codes    []datecode.Span          // the span that each distinct date code names, by its code in Words

	selection Selection

	steps *sync.Map // by column name: the result of Resolution, cached
}

// finish builds the log from one pass over the file.
func finish(text *sheet.Text, p *reader.Pass, o Options) (*Log, error) {
	l := &Log{file: p.File, text: text, layout: p.Layout, mark: p.Mark(),
		offsets: p.Offsets, lines: p.Lines, columns: p.Columns, ledger: p.Problems, byName: map[string]*cells.Column{}, steps: new(sync.Map)}
	for _, c := range l.columns {
		l.byName[c.Name] = c
	}
	currency := l.settlePrice(p, o.Rates)
	if o.MergeSpellings {
		l.openings().Merge(l.report)
	}
	l.numberProducts()
	l.joinTwins()
	l.readClaims(p)
	l.readCodes()
	l.readInside()
	l.derive()
	l.units = l.makeUnits(o.Units, currency)
	l.problems = l.ledger.Close(l.file, l.layout.Line, text.SourceColumn)
	return l, nil
}

// report records a problem with a cell of a column, or with its header.
func (l *Log) report(c *cells.Column, line int, text string, s Severity, message string) {
	l.ledger.Add(Problem{File: l.file, Line: line, Column: c.Field + 1, Name: c.Name, Text: text, Message: message, Severity: s})
}

// numberProducts numbers the pairs of maker and part in order of first
// appearance. A row whose maker or part is blank is a product of its own.
func (l *Log) numberProducts() {
	maker, part := l.byName["maker"], l.byName["part"]
	l.product = make([]int32, len(l.lines))
	seen := map[uint64]int32{}
	for row := range l.product {
		m, q := maker.Codes[row], part.Codes[row]
		key := uint64(m)<<32 | uint64(q)
		id, ok := seen[key]
		if !ok || q == 0 || m == 0 {
			id = int32(l.products)
			l.products++
			seen[key] = id
		}
		l.product[row] = id
		for _, c := range []*cells.Column{maker, part} {
			if c.Codes[row] == 0 {
				l.report(c, int(l.lines[row]), "", Doubtful, "blank; the opening counts as a product of its own")
			}
		}
	}
}

// File returns the name the log was read under.
func (l *Log) File() string { return l.file }

// Rows returns the number of openings.
func (l *Log) Rows() int { return len(l.lines) }

// Products returns the number of different products.
func (l *Log) Products() int { return l.products }

// Problems returns the problems found, sorted by line and column. The caller
// owns the slice.
func (l *Log) Problems() []Problem { return slices.Clone(l.problems) }

// Units returns the units for output.
func (l *Log) Units() Units { return l.units }

// Line returns the line of the file on which an opening starts. In a workbook
// it is the row, plus Sheets.Lines for each sheet read before its own. No two
// openings share a line.
func (l *Log) Line(row int) int {
	if row < 0 || row >= len(l.lines) {
		return 0
	}
	return int(l.lines[row])
}

// Product returns the index of an opening's product: from 0, in order of first
// appearance, below Products. A filter sold under several labels is one
// product.
func (l *Log) Product(row int) int { return int(l.product[row]) }

// Word returns the text of one row, as in Strings. It is "" for a column of
// numbers and for a column that the log does not have.
func (l *Log) Word(row int, column string) string {
	c := l.byName[column]
	if c == nil || c.Class != cells.Texts {
		return ""
	}
	return c.Word(row)
}

// Header returns a column's header as written in the log and its 1-based place
// in the record; "" and 0 for a column that the log does not have.
func (l *Log) Header(column string) (text string, index int) {
	if c := l.byName[column]; c != nil {
		return c.Header, c.Field + 1
	}
	return "", 0
}

// find returns the column that the frame shows under a name: the derived
// measure where the log has both.
func (l *Log) find(name string) *cells.Column {
	for _, c := range l.derived {
		if c.Name == name {
			return c
		}
	}
	return l.byName[name]
}

// Floats returns the values of a numeric or derived column, one per opening, in
// base units, with NaN if missing. It returns nil for a text column and for one
// that the log does not have. The values are those of Frame. The caller owns
// the slice.
func (l *Log) Floats(column string) []float64 {
	c := l.find(column)
	if c == nil || c.Class == cells.Texts {
		return nil
	}
	return c.Every(1)
}

// Strings returns the texts of a column, "" for a blank cell. It returns nil
// for a column of numbers and for one that the log does not have.
func (l *Log) Strings(column string) []string {
	c := l.byName[column]
	if c == nil || c.Class != cells.Texts {
		return nil
	}
	out := make([]string, len(c.Codes))
	for i, code := range c.Codes {
		out[i] = c.Words.List[code]
	}
	return out
}

// Cell is one cell as written in the log.
type Cell struct {
	Line, Column int       // place in the file, 1-based
	Text         string    // as written
	Value        float64   // mean of the readings, base unit; NaN if the cell cannot be read or holds no number
	Readings     []float64 // base unit
	Unit         string    // unit written in the cell itself, "" if none
	Approx       bool      // marked as approximate
}

// Cell returns a cell of a recorded column or of one of the user's own. It is
// false for a blank cell and for a column that is not in the log. It parses the
// record again: use it for the few cells to report, and Floats for a whole
// column.
func (l *Log) Cell(row int, column string) (Cell, bool) {
	c := l.byName[column]
	if c == nil || row < 0 || row >= len(l.lines) {
		return Cell{}, false
	}
	fields, below := l.text.Reparse(l.layout.Comma, int(l.offsets[row]), len(l.layout.Headings))
	if c.Field >= len(fields) || cellparse.IsBlank(fields[c.Field]) {
		return Cell{}, false
	}
	cell := Cell{Line: int(l.lines[row]), Text: fields[c.Field], Value: math.NaN()}
	cell.Column = l.text.SourceColumn(cell.Line, c.Field+1)
	if !l.text.Workbook {
		cell.Line += below[c.Field]
	}
	if c.Class == cells.Texts {
		return cell, true
	}
	cell.Value = c.At(row)
	if c.Class == cells.Dates || math.IsNaN(cell.Value) {
		return cell, true
	}
	read, err := cellparse.ParseReadings(nil, cell.Text, l.mark)
	if err != nil {
		return cell, true
	}
	for _, n := range read {
		cell.Unit, cell.Approx = n.Unit, cell.Approx || n.Approx
		cell.Readings = append(cell.Readings, l.base(c, row, n))
	}
	return cell, true
}

// base converts one reading of a cell to the column's base unit, and a price to
// that of one filter.
func (l *Log) base(c *cells.Column, row int, n cellparse.Number) float64 {
	if d, ok := c.Dimension(); ok {
		if u, own := units.Find(strings.TrimSuffix(n.Unit, "."), d); own {
			return n.Value * u.Base
		}
		if c.Percent {
			return n.Value * 100
		}
		return n.Value * c.Unit.Base
	}
	if n.Pack > 0 {
		return n.Value / float64(n.Pack)
	}
	if pack := l.byName["pack_quantity"]; c.Name == "price" && pack != nil && pack.At(row) >= 1 {
		return n.Value / pack.At(row)
	}
	return n.Value
}
