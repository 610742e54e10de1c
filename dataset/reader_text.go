package dataset

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset/internal/cellparse"
)

// days by which workbooks that count from 1904 differ from those from 1900.
const from1904 = 1462

// date reads the day of an opening as a decimal year.
func (p *pass) date(c *column, text string, line int, date1904 bool) (float64, uint8) {
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
			p.report(line, c.field+1, c.name, text, "day and month stand the other way round than in the rest of the column", Doubtful)
		}
	case cellparse.DependsOnColumn:
		if ev.depends++; ev.depends == 1 {
			ev.firstDate, ev.firstDateLine = shorten(text), line
		}
	case cellparse.SerialDate:
		ev.serial++
		if date1904 {
			d = d.AddDays(from1904)
		}
	}
	return d.DecimalYear(), precisionCode(d.Precision())
}

// word reads a cell of text or of a category.
func (p *pass) word(c *column, text string, line int) uint32 {
	if text == "" {
		return 0
	}
	if code, ok := c.words.index[text]; ok {
		return code
	}
	clean, odd := cleanText(text)
	clean = fuse(clean)
	if odd {
		p.report(line, c.field+1, c.name, clean, "holds characters that cannot be seen or were lost; they are left out", Doubtful)
	}
	if cellparse.IsBlank(clean) {
		clean = ""
	}
	if c.def.Kind == KindCategory && clean != "" {
		canonical, ok := category(c.def, clean)
		if !ok {
			canonical = p.ownKind(c, canonical, clean, line)
		}
		clean = canonical
	}
	if c.name == "thread" {
		if thread, ok := ParseThread(clean); ok {
			clean = thread.String()
		}
	}
	code := c.words.code(clean)
	if text != clean && !odd && len(c.words.index) < maxWays {
		c.words.index[strings.Clone(text)] = code // the same text is known at once next time
	}
	return code
}

// maxWays bounds how many ways of writing are remembered for one column.
const maxWays = 1 << 16

// ownKind keeps a word that is none of a column's categories as a kind of its
// own, in the spelling it first stands in, and names it once.
func (p *pass) ownKind(c *column, kind, text string, line int) string {
	key := categoryKey(kind)
	for _, had := range c.words.words {
		if had != "" && categoryKey(had) == key {
			return had
		}
	}
	p.report(line, c.field+1, c.name, text, fmt.Sprintf("not one of %s; kept as a kind of its own", strings.Join(c.def.Categories, ", ")), Note)
	return kind
}
