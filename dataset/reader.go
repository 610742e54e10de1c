package dataset

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/sheet"
	"pleatstat/dataset/internal/units"
)

const (
	scoutRows = 2000 // rows read first to guess how the file is written
	textShare = 0.9  // a column of the user's own is numeric where this share of its cells are
)

// pass is one reading of the file in one style.
type pass struct {
	file    string
	layout  *layout
	style   style
	cols    []*column // by field; nil for a field without header
	columns []*column // those that have one

	maker, part *column

	offsets    []uint32
	lines      []int32
	money      []uint8   // currency of each price, index into currencies
	currencies *interner // that stand in cells
	evidence   evidence
	problems   ledger
	claims     claims
	lost       []string // headers of columns of formulas without values
	read       []cellparse.Number
	values     []float64
	packed     []int32 // rows whose price says itself how many filters it is for, ascending
}

func newPass(file string, l *layout, s style) *pass {
	p := &pass{file: file, layout: l, style: s, cols: make([]*column, len(l.headings)), currencies: newInterner()}
	used := map[string]bool{"row": true, "line": true, "product": true, "opened_precision": true}
	for _, c := range slices.Concat(Columns(), DerivedColumns()) {
		used[c.Name] = true
	}
	for i, h := range l.headings {
		if h.text == "" {
			continue
		}
		c := &column{field: i, header: h.text, words: newInterner()}
		if h.known {
			c.known, c.def = true, At(h.match.column)
			c.name = c.def.Name
			switch c.def.Kind {
			case KindDate:
				c.class = dates
			case KindText, KindCategory:
				c.class = texts
			}
			if d, ok := c.dimension(); ok {
				c.unit, c.given = units.Find(h.match.unit, d)
			}
		} else {
			c.name = h.text
			for n := 2; used[c.name]; n++ {
				c.name = fmt.Sprintf("%s (%d)", h.text, n)
			}
			used[c.name] = true
			c.def = Column{Name: c.name, Kind: KindNumber}
			c.trial = !s.text[i]
			if !c.trial {
				c.class, c.def.Kind = texts, KindText
			}
		}
		p.cols[i] = c
		p.columns = append(p.columns, c)
		switch c.name {
		case "maker":
			p.maker = c
		case "part":
			p.part = c
		}
	}
	return p
}

// column finds a column that was read, nil for none.
func (p *pass) column(name string) *column {
	for _, c := range p.columns {
		if c.name == name {
			return c
		}
	}
	return nil
}

// run reads the records below the header, at most limit of them (0 = all).
func (p *pass) run(text *sheet.Text, limit int) error {
	p.reserve(text, limit)
	records := text.Ahead(p.layout.comma, p.layout.offset, p.layout.next, len(p.layout.headings))
	defer records.Close()
	for limit == 0 || len(p.lines) < limit {
		rec, err := records.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		switch {
		case rec.Broken != "":
			p.report(rec.Line, 0, "", rec.Fields[0], rec.Broken, Unusable)
		case len(rec.Fields) > len(p.cols) && !blankRecord(rec.Fields[len(p.cols):]):
			p.report(rec.Line, len(p.cols)+1, "", strings.Join(rec.Fields[len(p.cols):], string(p.layout.comma)),
				fmt.Sprintf("the line has %d cells and the header %d, so its cells may stand in wrong columns; the line is left out. Put a cell that holds the separator in quotation marks", len(rec.Fields), len(p.cols)), Unusable)
		case blankRecord(rec.Fields):
		case p.layout.repeated(rec.Fields):
			p.report(rec.Line, 0, "", "", "the header once more; the line is left out", Note)
		default:
			p.row(rec, text)
			if rec.Within > 0 {
				p.report(rec.Line, 0, "", "", fmt.Sprintf("cells of this line hold line breaks and %d lines that look like openings; a quotation mark may stand in a wrong place", rec.Within), Doubtful)
			}
		}
	}
	p.evidence.text = map[int]bool{}
	maps.Copy(p.evidence.text, p.style.text)
	for _, c := range p.cols {
		if c != nil && c.trial && c.bad > 0 && float64(c.other) < textShare*float64(c.other+c.bad) {
			p.evidence.text[c.field] = true
		}
	}
	return nil
}

// reserve makes room for the rows a file of this length will have.
func (p *pass) reserve(text *sheet.Text, limit int) {
	rows := limit
	if limit == 0 {
		body := text.Data[p.layout.offset:]
		head := body[:min(len(body), 1<<16)]
		lines := 1 + strings.Count(string(head), "\n")
		rows = int(float64(lines)*float64(len(body))/float64(max(len(head), 1))*1.02) + 1
	}
	p.offsets = make([]uint32, 0, rows)
	p.lines = make([]int32, 0, rows)
	for _, c := range p.cols {
		switch {
		case c == nil:
		case c.class == texts:
			c.codes = make([]uint32, 0, rows)
		default:
			c.num = make([]float64, 0, rows)
		}
	}
}

func (p *pass) report(line, field int, name, text, message string, s Severity) {
	p.problem(Problem{Line: line, Column: field, Name: name, Text: shorten(text), Message: message, Severity: s})
}

func (p *pass) problem(found Problem) {
	found.File = p.file
	p.problems.add(found)
}

// row reads one opening.
func (p *pass) row(rec sheet.Record, from *sheet.Text) {
	field := func(c *column) string {
		if c.field < len(rec.Fields) {
			return rec.Fields[c.field]
		}
		return ""
	}
	if maker, part := field(p.maker), field(p.part); blankText(maker) && blankText(part) {
		p.report(rec.Line, 0, "", strings.Join(rec.Fields, string(p.layout.comma)), "neither maker nor part; the line is left out", Unusable)
		return
	}
	if len(rec.Fields) < len(p.cols) && !from.Workbook { // a sheet has no end of a line
		p.report(rec.Line, 0, "", "", fmt.Sprintf("the line has %d cells and the header %d; the missing ones count as blank", len(rec.Fields), len(p.cols)), Note)
	}
	row := int32(len(p.lines))
	p.lines = append(p.lines, int32(rec.Line))
	p.offsets = append(p.offsets, uint32(rec.Offset))
	p.money = append(p.money, 0)
	for _, c := range p.cols {
		if c == nil {
			continue
		}
		text := field(c)
		switch c.class {
		case numbers:
			c.num = append(c.num, p.number(c, text, row, rec.Line))
		case dates:
			v, precision := p.date(c, text, rec.Line, from.Date1904)
			c.num = append(c.num, v)
			c.precision = append(c.precision, precision)
		default:
			c.codes = append(c.codes, p.word(c, text, rec.Line))
		}
	}
}

// priceCurrency is the currency that stands in the cell of a price, "" for none.
func (p *pass) priceCurrency(row int) string { return p.currencies.words[p.money[row]] }

// mark is how the file writes decimals.
func (p *pass) mark() cellparse.Mark { return p.style.mark }

// badCell reports a cell that cannot be read.
func (p *pass) badCell(c *column, line int, text, reason string) {
	c.bad++
	p.report(line, c.field+1, c.name, text, reason, Unusable)
}

// number reads a cell of a measure and returns it in the column's unit, or in
// the base unit where the cell has its own.
func (p *pass) number(c *column, text string, row int32, line int) float64 {
	var err error
	p.read = append(p.read[:0], cellparse.Number{})
	quick := cellparse.Quick(text, p.style.mark, &p.read[0])
	if !quick {
		if cellparse.IsBlank(text) {
			return math.NaN()
		}
		p.read, err = cellparse.ParseReadings(p.read[:0], text, p.style.mark)
	}
	if len(p.read) == 1 { // several readings are text, which no spreadsheet converts
		p.weigh(p.read[0], text)
	}
	if err != nil {
		if c.name == claimColumn {
			return p.claim(c, text, row, line)
		}
		p.badCell(c, line, text, err.Error())
		return math.NaN()
	}
	own, err := p.ownUnit(c, row)
	if err != nil {
		if c.name == claimColumn {
			return p.claim(c, text, row, line)
		}
		p.badCell(c, line, text, err.Error())
		return math.NaN()
	}
	if !quick { // nearly every cell goes without
		if err := p.perPack(c, row); err != nil {
			p.badCell(c, line, text, err.Error())
			return math.NaN()
		}
	}
	if own {
		c.own = append(c.own, row)
	} else {
		c.other++
	}
	for _, n := range p.read {
		if n.Decimals < 0 {
			c.broken++
		} else if !own || len(c.ownUnit) == 1 {
			c.places[min(n.Decimals, len(c.places)-1)]++
		}
		if n.Approx && (len(c.approx) == 0 || c.approx[len(c.approx)-1] != row) {
			c.approx = append(c.approx, row)
		}
		if len(p.read) == 1 && against(n.Evidence, p.style.mark) {
			p.report(line, c.field+1, c.name, text, fmt.Sprintf("read as %g, though the file writes decimals with a %s", n.Value, markName(p.style.mark)), Note)
		}
	}
	if len(p.read) == 1 {
		return p.read[0].Value
	}
	p.values = p.values[:0]
	for _, n := range p.read {
		p.values = append(p.values, n.Value)
	}
	mean, sd := spread(p.values)
	c.repeats = append(c.repeats, Repeat{Row: int(row), N: len(p.values), SD: sd})
	return mean
}

// ownUnit applies the units that stand in a cell itself. True means that the
// values are in the base unit now.
func (p *pass) ownUnit(c *column, row int32) (bool, error) {
	own := false
	for i := range p.read {
		n := &p.read[i]
		if n.Unit == "" {
			if own {
				return false, errors.New("has a unit behind some readings only; write it behind all or none")
			}
			continue
		}
		switch c.def.Kind {
		case KindMoney:
			sign := cellparse.Currency(n.Unit)
			if sign == "" {
				return false, fmt.Errorf("%q is no currency that is known; write a sign or a code such as EUR", n.Unit)
			}
			p.money[row] = uint8(min(p.currencies.code(sign), 255))
			continue
		case KindCount:
			if !countWord(n.Unit) {
				return false, fmt.Errorf("%q stands behind a count; write the number alone", n.Unit)
			}
			continue
		case KindNumber:
			return false, fmt.Errorf("%q stands behind the number; put the unit into the header", n.Unit)
		}
		d, _ := c.dimension()
		u, ok := units.Find(strings.TrimSuffix(n.Unit, "."), d)
		if !ok {
			return false, fmt.Errorf("%q is no unit of %s that is known", n.Unit, d)
		}
		if i > 0 && !own {
			return false, errors.New("has a unit behind some readings only; write it behind all or none")
		}
		n.Value *= u.Base
		own = true
		if c.ownUnit == nil {
			c.ownUnit = map[string]int{}
		}
		c.ownUnit[u.Symbol]++
	}
	return own, nil
}

// perPack divides prices that a cell says are of several filters.
func (p *pass) perPack(c *column, row int32) error {
	for i := range p.read {
		n := &p.read[i]
		switch {
		case n.Pack == 0:
		case c.def.Kind != KindMoney:
			return fmt.Errorf("is said of a pack of %d; write the value of one filter alone", n.Pack)
		default:
			n.Value /= float64(n.Pack)
			p.packed = append(p.packed, row)
		}
	}
	return nil
}

// weigh collects what a number tells about the decimal mark.
func (p *pass) weigh(n cellparse.Number, text string) {
	e := &p.evidence
	switch n.Evidence {
	case cellparse.ShowsPoint:
		e.points++
	case cellparse.ShowsComma:
		e.commas++
	case cellparse.DependsDot:
		e.dotted++
	case cellparse.DependsComa:
		e.comma3++
	default:
		return
	}
	if e.firstNumber == "" && n.Evidence >= cellparse.DependsDot {
		e.firstNumber = shorten(text)
	}
}

func against(e cellparse.Evidence, m cellparse.Mark) bool {
	return e == cellparse.ShowsComma && m == cellparse.Point || e == cellparse.ShowsPoint && m == cellparse.Comma
}

func markName(m cellparse.Mark) string {
	if m == cellparse.Comma {
		return "comma"
	}
	return "point"
}

// tellFormulas reports cells whose formula has no stored value, and returns the
// columns that hold nothing else.
func (p *pass) tellFormulas(text *sheet.Text) (lost []string) {
	missing := map[int]int{} // by field
	for _, f := range text.Formulas {
		field := f.Column - 1
		if f.Row <= p.layout.line || field >= len(p.cols) || p.cols[field] == nil {
			continue
		}
		missing[field]++
		p.report(f.Row, field+1, p.cols[field].name, f.Text, "a formula without a stored value; the cell counts as blank. Open the workbook, let it recalculate, save it", Unusable)
	}
	for field, c := range p.cols {
		if missing[field] > 0 && c.empty() {
			lost = append(lost, c.header)
		}
	}
	return lost
}

// readRows reads the rows below the header of a text. The columns are those of
// the file, in the units it writes, until they are settled.
func readRows(text *sheet.Text, file string, l *layout) (*pass, error) {
	p, err := parse(text, file, l)
	if err != nil {
		return nil, err
	}
	if n := text.Replaced; n > 0 {
		p.report(0, 0, "", "", fmt.Sprintf("characters lost, since they are none in %[2]s: %[1]d; save the file again as UTF-8", n, text.Encoding), Doubtful)
	}
	p.lost = p.tellFormulas(text)
	return p, nil
}

// settle says what the headers were read as and carries the columns to their base
// units.
func (p *pass) settle() {
	p.unknownHeaders()
	p.assumeUnits()
	p.toBase()
}

// parse reads the rows in the style the whole file shows. The first rows give
// a guess; where the rest contradicts it the file is read once more.
func parse(text *sheet.Text, file string, l *layout) (*pass, error) {
	hint := cellparse.OrderUnknown
	for _, h := range l.headings {
		if h.known && At(h.match.column).Kind == KindDate {
			hint = dateOrder(h.match.unit)
		}
	}
	s := style{}
	for limit := scoutRows; ; limit = 0 {
		p := newPass(file, l, s)
		if err := p.run(text, limit); err != nil {
			return nil, err
		}
		shown := p.evidence.decide(l.comma, hint)
		whole := limit == 0 || len(p.lines) < limit
		if whole && shown.same(s) {
			p.tellStyle(hint)
			return p, nil
		}
		s = shown
	}
}

// tellStyle reports what the file as a whole left open or what was assumed.
func (p *pass) tellStyle(hint cellparse.Order) {
	e := &p.evidence
	if e.depends > 0 && p.style.order == cellparse.OrderUnknown {
		for _, c := range p.cols {
			if c == nil || c.class != dates {
				continue
			}
			these, whose := fmt.Sprintf("%d dates", e.depends), "their"
			if e.depends == 1 {
				these, whose = "a date", "its"
			}
			p.report(e.firstDateLine, c.field+1, c.name, e.firstDate,
				these+" could be day first or month first and nothing in the column tells which; only "+whose+" year is used. Write 2024-03-08", Doubtful)
		}
	}
	if e.depends > 0 && p.style.order == hint && hint != cellparse.OrderUnknown && e.dayFirst+e.monthFirst == 0 {
		p.report(p.layout.line, 0, "opened", e.firstDate, "the order of day and month is taken from the header", Note)
	}
	if e.points+e.commas == 0 && e.dotted+e.comma3 > 0 && p.style.mark != cellparse.Undecided {
		p.report(p.layout.line, 0, "", e.firstNumber,
			fmt.Sprintf("numbers are taken to have a decimal %s, as files split like this one have", markName(p.style.mark)), Note)
	}
	thousands := e.comma3
	if p.style.mark == cellparse.Comma {
		thousands = e.dotted
	}
	if thousands > 0 && p.style.mark != cellparse.Undecided && e.points+e.commas > 0 {
		p.report(p.layout.line, 0, "", "", fmt.Sprintf("%d numbers such as 1%s234 are read as thousands: the file writes decimals with a %s", thousands, map[bool]string{true: ".", false: ","}[p.style.mark == cellparse.Comma], markName(p.style.mark)), Note)
	}
}
