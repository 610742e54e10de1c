package reader

import (
	"strings"

	"pleatstat/dataset/internal/cellparse"
)

// style is how a file writes what a single cell cannot tell.
type style struct {
	mark  cellparse.Mark
	order cellparse.Order
	text  map[int]bool // fields of the user's own that hold words
}

// evidence is what the cells of a file tell about its style.
type evidence struct {
	points, commas       int // numbers that can only have a decimal point, comma
	dotted, comma3       int // numbers that depend on it
	dayFirst, monthFirst int
	depends              int    // dates that depend on the order
	firstDate            string // the first of them
	firstDateLine        int
	firstNumber          string // the first number that depends on the mark
	serial               int
	text                 map[int]bool // fields of the user's own that do not hold numbers
}

// dominance: the rarer way of writing is taken for slips where the other is
// this many times as frequent.
const dominance = 10

// decide draws the conclusion for the whole file.
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
		s.mark = cellparse.Comma // fields are split at ; where the comma marks decimals
	case comma == ',' && e.comma3 == 0:
		s.mark = cellparse.Point // and at , where it does not
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
	if s.mark != t.mark || s.order != t.order || len(s.text) != len(t.text) {
		return false
	}
	for f := range s.text {
		if !t.text[f] {
			return false
		}
	}
	return true
}

// dateOrder reads a hint such as dd/mm/yyyy in the header of the date.
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
