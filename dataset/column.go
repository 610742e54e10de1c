package dataset

import (
	"math"
	"strings"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/units"
)

// class is how the cells of a column are stored.
type class uint8

const (
	numbers class = iota
	texts
	dates
)

// Repeat is one cell with several readings of the same thing.
type Repeat struct {
	Row int
	N   int     // readings
	SD  float64 // their standard deviation, base unit
}

// column holds the cells of one field of the log, or of a derived measure.
type column struct {
	name   string
	def    Column
	known  bool // one of Columns()
	field  int  // place in the record, -1 for derived
	header string
	class  class
	trial  bool // a column of the user's own that holds numbers so far

	unit    units.Unit // the header's, or the one assumed
	given   bool       // the header names its unit
	percent bool       // percents written as fractions of one

	num       []float64 // numbers and dates; nil for a derived measure, see values
	aside     []int32   // rows that count as blank although num holds a number, ascending
	precision []uint8   // dates
	codes     []uint32  // texts: index into words
	words     *interner

	formula func([]float64) float64 // of a derived measure, from its inputs
	inputs  []*column               // nil where the log lacks one
	rows    int

	repeats []Repeat
	approx  []int32
	own     []int32        // rows whose cell brings its own unit, ascending
	ownUnit map[string]int // how often each of those units stands there
	other   int            // cells in the column's unit
	places  [8]int         // cells by digits behind the decimal mark
	broken  int            // cells written as fractions
	bad     int            // cells that cannot be read
}

func (c *column) dimension() (units.Dimension, bool) { return dimension(c.def.Kind) }

// interner keeps each distinct text once.
type interner struct {
	index map[string]uint32
	words []string
}

func newInterner() *interner {
	return &interner{index: map[string]uint32{"": 0}, words: []string{""}}
}

func (in *interner) code(s string) uint32 {
	if c, ok := in.index[s]; ok {
		return c
	}
	s = strings.Clone(s) // do not hold on to the whole record
	c := uint32(len(in.words))
	in.index[s] = c
	in.words = append(in.words, s)
	return c
}

// spread gathers the readings of a cell: their mean and standard deviation.
func spread(v []float64) (mean, sd float64) {
	for _, x := range v {
		mean += x
	}
	mean /= float64(len(v))
	var ss float64
	for _, x := range v {
		ss += (x - mean) * (x - mean)
	}
	if len(v) < 2 {
		return mean, math.NaN()
	}
	return mean, math.Sqrt(ss / float64(len(v)-1))
}

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
