package reader

import (
	"fmt"
	"maps"
	"strings"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
)

// style is how a file writes numbers and dates, where one cell alone is
// ambiguous.
type style struct {
	mark  cellparse.Mark
	order cellparse.Order
	text  map[int]bool // user's own fields that hold words
}

// evidence is what the cells of a file show about its style.
type evidence struct {
	points, commas       int // numbers that must have a decimal point, or comma
	dotted, comma3       int // 1.234 and 1,234, which depend on the mark
	dayFirst, monthFirst int
	depends              int    // dates that depend on the order of day and month
	firstDate            string // the first of them
	firstDateLine        int
	firstNumber          string       // first number that depends on the mark
	text                 map[int]bool // user's own fields that do not hold numbers
}

// dominance: if one way of writing is this many times as frequent as the other,
// the rarer one counts as slips.
const dominance = 10

// decide infers the style of the whole file.
func (e *evidence) decide(comma rune, hint cellparse.Order) style {
	s := style{text: e.text}
	switch {
	case e.points > 0 && e.points >= dominance*e.commas:
		s.mark = cellparse.Point
	case e.commas > 0 && e.commas >= dominance*e.points:
		s.mark = cellparse.Comma
	case e.points+e.commas > 0:
		s.mark = cellparse.Undecided
	case e.dotted > 0 && e.comma3 > 0:
		s.mark = cellparse.Undecided
	case comma == ';' && e.dotted == 0:
		s.mark = cellparse.Comma // files are split at ; where the comma is the decimal mark
	case comma == ',' && e.comma3 == 0:
		s.mark = cellparse.Point // and at , where it is not
	case e.dotted+e.comma3 > 0:
		s.mark = cellparse.Undecided
	}
	switch {
	case e.dayFirst > 0 && e.dayFirst >= dominance*e.monthFirst:
		s.order = cellparse.DayFirst
	case e.monthFirst > 0 && e.monthFirst >= dominance*e.dayFirst:
		s.order = cellparse.MonthFirst
	case e.dayFirst+e.monthFirst == 0:
		s.order = hint
	}
	return s
}

func (s style) same(t style) bool {
	return s.mark == t.mark && s.order == t.order && maps.Equal(s.text, t.text)
}

// dateOrder reads a pattern such as dd/mm/yyyy from the header of the date.
func dateOrder(hint string) cellparse.Order {
	hint = strings.ToLower(hint)
	d, m, y := strings.IndexByte(hint, 'd'), strings.IndexByte(hint, 'm'), strings.IndexByte(hint, 'y')
	switch {
	case d < 0 || m < 0 || y < 0 || y < d || y < m:
		return cellparse.OrderUnknown
	case d < m:
		return cellparse.DayFirst
	}
	return cellparse.MonthFirst
}

// reportStyle reports what the file as a whole left undecided and what was
// assumed.
func (p *Pass) reportStyle(hint cellparse.Order) {
	e := &p.evidence
	if e.depends > 0 && p.style.order == cellparse.OrderUnknown {
		for _, c := range p.Columns {
			if c.Class != cells.Dates {
				continue
			}
			these, whose := fmt.Sprintf("%d dates", e.depends), "their"
			if e.depends == 1 {
				these, whose = "a date", "its"
			}
			p.report(e.firstDateLine, c.Field+1, c.Name, e.firstDate,
				these+" could be day first or month first and nothing in the column tells which; only "+whose+" year is used. Write 2024-03-08", problem.Doubtful)
		}
	}
	if e.depends > 0 && p.style.order == hint && hint != cellparse.OrderUnknown && e.dayFirst+e.monthFirst == 0 {
		p.report(p.Layout.Line, 0, "opened", e.firstDate, "the order of day and month is taken from the header", problem.Note)
	}
	if e.points+e.commas == 0 && e.dotted+e.comma3 > 0 && p.style.mark != cellparse.Undecided {
		p.report(p.Layout.Line, 0, "", e.firstNumber,
			fmt.Sprintf("numbers are taken to have a decimal %s, as files split like this one have", markName(p.style.mark)), problem.Note)
	}
	thousands := e.comma3
	if p.style.mark == cellparse.Comma {
		thousands = e.dotted
	}
	if thousands > 0 && p.style.mark != cellparse.Undecided && e.points+e.commas > 0 {
		p.report(p.Layout.Line, 0, "", "", fmt.Sprintf("%d numbers such as 1%s234 are read as thousands: the file writes decimals with a %s", thousands, map[bool]string{true: ".", false: ","}[p.style.mark == cellparse.Comma], markName(p.style.mark)), problem.Note)
	}
}

func markName(m cellparse.Mark) string {
	if m == cellparse.Comma {
		return "comma"
	}
	return "point"
}

// weigh counts what a number shows about the decimal mark.
func (p *Pass) weigh(n cellparse.Number, text string) {
	e := &p.evidence
	switch n.Evidence {
	case cellparse.ShowsPoint:
		e.points++
	case cellparse.ShowsComma:
		e.commas++
	case cellparse.DependsPoint:
		e.dotted++
	case cellparse.DependsComma:
		e.comma3++
	default:
		return
	}
	if e.firstNumber == "" && n.Evidence >= cellparse.DependsPoint {
		e.firstNumber = problem.Shorten(text)
	}
}

func against(e cellparse.Evidence, m cellparse.Mark) bool {
	return e == cellparse.ShowsComma && m == cellparse.Point || e == cellparse.ShowsPoint && m == cellparse.Comma
}
