package dataset

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"pleatstat/dataset/internal/cellparse"
)

// Precisions of a date as they are stored.
var precisions = []string{"", "day", "month", "year"}

func precisionCode(name string) uint8 {
	for i, p := range precisions {
		if p == name {
			return uint8(i)
		}
	}
	return 0
}

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

// cleanText trims a text, makes every run of blanks one space and drops control
// characters. Odd says that some were dropped.
func cleanText(s string) (clean string, odd bool) {
	plain := true
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < 0x20 || c >= 0x7f || c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' ') {
			plain = false
			break
		}
	}
	if plain {
		return s, false
	}
	kept := strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar, unicode.IsControl(r), unicode.Is(unicode.Cf, r):
			odd = true
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.Fields(kept), " "), odd
}

// blankText says whether nothing is left of a text that can be seen.
func blankText(s string) bool {
	clean, _ := cleanText(s)
	return cellparse.IsBlank(fuse(clean))
}

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
