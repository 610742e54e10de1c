// Package reader reads the rows below a header into columns: each cell
// according to its column, in the decimal mark and date order that the whole
// file shows, and then every column in its base unit. A cell that cannot be
// read is a problem and counts as blank.
package reader

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/layout"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

const (
	scoutRows = 2000 // rows read first, to guess the style of the file
	textShare = 0.9  // share of numeric cells from which a column of the user's own is numeric
)

// Pass is one reading of the file in one style.
type Pass struct {
	File    string
	Layout  *layout.Layout
	style   style
	cols    []*cells.Column // by field; nil for a field without header
	Columns []*cells.Column // those of cols that are not nil

	maker, part *cells.Column

	Offsets    []uint32
	Lines      []int32
	money      []uint8      // currency of each price, index into currencies
	currencies *cells.Words // written in price cells
	evidence   evidence
	Problems   problem.Ledger
	Claims     Claims
	Lost       []string // headers of columns that hold only formulas without stored values
	read       []cellparse.Number
	values     []float64
	Packed     []int32 // rows whose price cell states the number of filters, ascending
}

// Read reads the rows below the header of a text. The columns are in the units
// of the file until Settle is called.
func Read(text *sheet.Text, file string, l *layout.Layout) (*Pass, error) {
	p, err := parse(text, file, l)
	if err != nil {
		return nil, err
	}
	if n := text.Replaced; n > 0 {
		p.report(0, 0, "", "", fmt.Sprintf("characters lost, since they are none in %[2]s: %[1]d; save the file again as UTF-8", n, text.Encoding), problem.Doubtful)
	}
	p.Lost = p.reportFormulas(text)
	return p, nil
}

// Settle reports how the headers were read and converts the columns to their
// base units.
func (p *Pass) Settle() {
	p.unknownHeaders()
	p.assumeUnits()
	p.toBase()
}

// parse reads the rows in the style that the whole file shows. The first rows
// give a guess; if the rest contradicts it, the file is read again.
func parse(text *sheet.Text, file string, l *layout.Layout) (*Pass, error) {
	hint := cellparse.OrderUnknown
	for _, h := range l.Headings {
		if h.Known && catalogue.Facts(h.Match.Column).Kind == catalogue.KindDate {
			hint = dateOrder(h.Match.Unit)
		}
	}
	s := style{}
	for limit := scoutRows; ; limit = 0 {
		p := newPass(file, l, s)
		if err := p.run(text, limit); err != nil {
			return nil, err
		}
		shown := p.evidence.decide(l.Comma, hint)
		whole := limit == 0 || len(p.Lines) < limit
		if whole && shown.same(s) {
			p.reportStyle(hint)
			return p, nil
		}
		s = shown
	}
}

func newPass(file string, l *layout.Layout, s style) *Pass {
	p := &Pass{File: file, Layout: l, style: s, cols: make([]*cells.Column, len(l.Headings)), currencies: cells.NewWords()}
	used := map[string]bool{"row": true, "line": true, "product": true, "opened_precision": true}
	for c := range catalogue.Recorded() {
		used[c.Name] = true
	}
	for c := range catalogue.Derived() {
		used[c.Name] = true
	}
	for i, h := range l.Headings {
		if h.Text == "" {
			continue
		}
		c := &cells.Column{Field: i, Header: h.Text, Words: cells.NewWords()}
		if h.Known {
			c.Known, c.Def = true, catalogue.Facts(h.Match.Column)
			c.Name = c.Def.Name
			switch c.Def.Kind {
			case catalogue.KindDate:
				c.Class = cells.Dates
			case catalogue.KindText, catalogue.KindCategory:
				c.Class = cells.Texts
			}
			if d, ok := c.Dimension(); ok {
				c.Unit, c.Given = units.Find(h.Match.Unit, d)
			}
		} else {
			c.Name = h.Text
			for n := 2; used[c.Name]; n++ {
				c.Name = fmt.Sprintf("%s (%d)", h.Text, n)
			}
			used[c.Name] = true
			c.Def = catalogue.Column{Name: c.Name, Kind: catalogue.KindNumber}
			c.Trial = !s.text[i]
			if !c.Trial {
				c.Class, c.Def.Kind = cells.Texts, catalogue.KindText
			}
		}
		p.cols[i] = c
		p.Columns = append(p.Columns, c)
	}
	p.maker, p.part = p.column("maker"), p.column("part")
	return p
}

// column returns a column of the file by name, nil if there is none.
func (p *Pass) column(name string) *cells.Column {
	for _, c := range p.Columns {
		if c.Name == name {
			return c
		}
	}
	return nil
}

// run reads the records below the header, at most limit of them (0 = all).
func (p *Pass) run(text *sheet.Text, limit int) error {
	p.reserve(text, limit)
	records := text.Prefetch(p.Layout.Comma, p.Layout.Offset, p.Layout.Next, len(p.Layout.Headings))
	defer records.Close()
	for limit == 0 || len(p.Lines) < limit {
		rec, err := records.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		switch {
		case rec.Broken != "":
			p.report(rec.Line, 0, "", rec.Fields[0], rec.Broken, problem.Unusable)
		case len(rec.Fields) > len(p.cols) && !layout.Blank(rec.Fields[len(p.cols):]):
			p.report(rec.Line, len(p.cols)+1, "", strings.Join(rec.Fields[len(p.cols):], string(p.Layout.Comma)),
				fmt.Sprintf("the line has %d cells and the header %d, so its cells may stand in wrong columns; the line is left out. Put a cell that holds the separator in quotation marks", len(rec.Fields), len(p.cols)), problem.Unusable)
		case layout.Blank(rec.Fields):
		case p.Layout.Repeated(rec.Fields):
			p.report(rec.Line, 0, "", "", "the header once more; the line is left out", problem.Note)
		default:
			p.row(rec, text)
			if rec.Within > 0 {
				p.report(rec.Line, 0, "", "", fmt.Sprintf("cells of this line hold line breaks and %d lines that look like openings; a quotation mark may stand in a wrong place", rec.Within), problem.Doubtful)
			}
		}
	}
	p.evidence.text = map[int]bool{}
	maps.Copy(p.evidence.text, p.style.text)
	for _, c := range p.Columns {
		if c.Trial && c.Bad > 0 && float64(c.Other) < textShare*float64(c.Other+c.Bad) {
			p.evidence.text[c.Field] = true
		}
	}
	return nil
}

// reserve allocates room for the number of rows expected from the file's
// length.
func (p *Pass) reserve(text *sheet.Text, limit int) {
	rows := limit
	if limit == 0 {
		body := text.Data[p.Layout.Offset:]
		head := body[:min(len(body), 1<<16)]
		lines := 1 + strings.Count(string(head), "\n")
		rows = int(float64(lines)*float64(len(body))/float64(max(len(head), 1))*1.02) + 1
	}
	p.Offsets = make([]uint32, 0, rows)
	p.Lines = make([]int32, 0, rows)
	for _, c := range p.Columns {
		if c.Class == cells.Texts {
			c.Codes = make([]uint32, 0, rows)
		} else {
			c.Num = make([]float64, 0, rows)
		}
	}
}

func (p *Pass) report(line, field int, name, text, message string, s problem.Severity) {
	p.Problems.Add(problem.Problem{File: p.File, Line: line, Column: field, Name: name, Text: problem.Shorten(text), Message: message, Severity: s})
}

// reportHeader reports a remark about a header.
func (p *Pass) reportHeader(c *cells.Column, s problem.Severity, message string) {
	p.Problems.Add(problem.Problem{File: p.File, Line: p.Layout.Line, Column: c.Field + 1, Name: c.Name, Text: c.Header, Message: message, Severity: s})
}

// row reads one opening.
func (p *Pass) row(rec sheet.Record, from *sheet.Text) {
	field := func(c *cells.Column) string {
		if c.Field < len(rec.Fields) {
			return rec.Fields[c.Field]
		}
		return ""
	}
	if maker, part := field(p.maker), field(p.part); cellparse.BlankText(maker) && cellparse.BlankText(part) {
		p.report(rec.Line, 0, "", strings.Join(rec.Fields, string(p.Layout.Comma)), "neither maker nor part; the line is left out", problem.Unusable)
		return
	}
	if len(rec.Fields) < len(p.cols) && !from.Workbook { // rows of a sheet have no fixed length
		p.report(rec.Line, 0, "", "", fmt.Sprintf("the line has %d cells and the header %d; the missing ones count as blank", len(rec.Fields), len(p.cols)), problem.Note)
	}
	row := int32(len(p.Lines))
	p.Lines = append(p.Lines, int32(rec.Line))
	p.Offsets = append(p.Offsets, uint32(rec.Offset))
	p.money = append(p.money, 0)
	for _, c := range p.Columns {
		text := field(c)
		switch c.Class {
		case cells.Numbers:
			c.Num = append(c.Num, p.number(c, text, row, rec.Line))
		case cells.Dates:
			v, precision := p.date(c, text, rec.Line, from.Date1904)
			c.Num = append(c.Num, v)
			c.Precision = append(c.Precision, precision)
		default:
			c.Codes = append(c.Codes, p.word(c, text, rec.Line))
		}
	}
}

// PriceCurrency returns the currency written in the price cell of a row, "" if
// none.
func (p *Pass) PriceCurrency(row int) string { return p.currencies.List[p.money[row]] }

// Mark returns the decimal mark of the file.
func (p *Pass) Mark() cellparse.Mark { return p.style.mark }

// badCell reports a cell that cannot be read.
func (p *Pass) badCell(c *cells.Column, line int, text, reason string) {
	c.Bad++
	p.report(line, c.Field+1, c.Name, text, reason, problem.Unusable)
}

// reportFormulas reports cells whose formula has no stored value, and returns the
// headers of columns that hold nothing else.
func (p *Pass) reportFormulas(text *sheet.Text) (lost []string) {
	missing := map[int]int{} // by field
	for _, f := range text.Formulas {
		field := f.Column - 1
		if f.Row <= p.Layout.Line || field >= len(p.cols) || p.cols[field] == nil {
			continue
		}
		missing[field]++
		p.report(f.Row, field+1, p.cols[field].Name, f.Text, "a formula without a stored value; the cell counts as blank. Open the workbook, let it recalculate, save it", problem.Unusable)
	}
	for _, c := range p.Columns {
		if missing[c.Field] > 0 && c.Filled() == 0 {
			lost = append(lost, c.Header)
		}
	}
	return lost
}

// unknownHeaders reports which columns are kept under their own names, and what
// decided about ambiguous headers.
func (p *Pass) unknownHeaders() {
	for _, c := range p.Columns {
		h := p.Layout.Headings[c.Field]
		if h.Why != "" {
			p.reportHeader(c, problem.Note, "read as "+c.Name+": "+h.Why)
		}
		if c.Known {
			continue
		}
		if h.Unsure != "" {
			p.reportHeader(c, h.Doubt, h.Unsure)
			continue
		}
		message := "not a column this tool knows; kept under its own name"
		if near := header.Nearest(c.Header); near != "" {
			message = fmt.Sprintf("not a column this tool knows; kept under its own name. Did you mean %s?", near)
		}
		p.reportHeader(c, problem.Note, message)
	}
}
