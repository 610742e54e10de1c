package reader

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
)

// from1904 is the number of days between the date origins of workbooks that
// count from 1904 and those that count from 1900.
const from1904 = 1462

// date reads a date cell as a decimal year and a precision code.
func (p *Pass) date(c *cells.Column, text string, line int, date1904 bool) (float64, uint8) {
	if cellparse.IsBlank(text) {
		return math.NaN(), 0
	}
	d, e, err := cellparse.ParseDate(text, p.style.order)
	if err != nil {
		p.badCell(c, line, text, err.Error())
		return math.NaN(), 0
	}
	ev := &p.evidence
	switch e {
	case cellparse.ShowsDayFirst, cellparse.ShowsMonthFirst:
		order := cellparse.DayFirst
		if e == cellparse.ShowsMonthFirst {
			ev.monthFirst++
			order = cellparse.MonthFirst
		} else {
			ev.dayFirst++
		}
		if p.style.order != cellparse.OrderUnknown && p.style.order != order {
			p.report(line, c.Field+1, c.Name, text, "day and month stand the other way round than in the rest of the column", problem.Doubtful)
		}
	case cellparse.DependsOnColumn:
		if ev.depends++; ev.depends == 1 {
			ev.firstDate, ev.firstDateLine = problem.Shorten(text), line
		}
	case cellparse.SerialDate:
		if date1904 {
			d = d.AddDays(from1904)
		}
	}
	return d.DecimalYear(), cells.PrecisionCode(d.Precision())
}

// word reads a cell of text or of a category and returns its code.
func (p *Pass) word(c *cells.Column, text string, line int) uint32 {
	if text == "" {
		return 0
	}
	if code, ok := c.Words.Index[text]; ok {
		return code
	}
	clean, odd := cellparse.CleanText(text)
	clean = cellparse.UnescapeFormula(clean)
	if odd {
		p.report(line, c.Field+1, c.Name, clean, "holds characters that cannot be seen or were lost; they are left out", problem.Doubtful)
	}
	if cellparse.IsBlank(clean) {
		clean = ""
	}
	if c.Def.Kind == catalogue.KindCategory && clean != "" {
		canonical, ok := catalogue.Category(c.Def, clean)
		if !ok {
			canonical = p.ownKind(c, canonical, clean, line)
		}
		clean = canonical
	}
	if c.Name == "thread" {
		if thread, ok := cellparse.ParseThread(clean); ok {
			clean = thread.String()
		}
	}
	code := c.Words.Code(clean)
	if text != clean && !odd && len(c.Words.Index) < maxWays {
		c.Words.Index[strings.Clone(text)] = code // skips the cleaning next time
	}
	return code
}

// maxWays is the greatest number of spellings remembered for one column.
const maxWays = 1 << 16

// ownKind keeps a word outside a column's categories as an additional category,
// in its first spelling, and reports it once.
func (p *Pass) ownKind(c *cells.Column, kind, text string, line int) string {
	key := catalogue.CategoryKey(kind)
	for _, had := range c.Words.List {
		if had != "" && catalogue.CategoryKey(had) == key {
			return had
		}
	}
	p.report(line, c.Field+1, c.Name, text, fmt.Sprintf("not one of %s; kept as a kind of its own", strings.Join(c.Def.Categories, ", ")), problem.Note)
	return kind
}
