package dataset

import (
	"math"
	"slices"
	"strings"

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

func (c *column) dimension() (units.Dimension, bool) { return c.def.Kind.Dimension() }

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

// defaultDecimals are shown where the cells do not tell how many there are.
const defaultDecimals = 2

// usualShare: digits that fewer cells than the rest carry do not set the
// precision of a column.
const usualShare = 0.95

// decimals is how many digits behind the mark the column's cells carry.
func (c *column) decimals() int {
	total := c.broken + total(c.places)
	if total == 0 {
		return defaultDecimals
	}
	if c.def.Whole {
		return 0
	}
	if c.broken*2 > total {
		return 2 // a tape's fractions, to the nearest hundredth
	}
	sum := 0
	for d, n := range c.places {
		if sum += n; float64(sum) >= usualShare*float64(total-c.broken) {
			return min(d, 4)
		}
	}
	return 4
}

// threeDigits is how many decimals show the middle of a column with three
// significant digits.
func threeDigits(base []float64, perBase float64) int {
	middle := math.Abs(middleOf(base, nil) * perBase)
	if !(middle > 0) || math.IsInf(middle, 0) {
		return defaultDecimals
	}
	return max(0, min(2-int(math.Floor(math.Log10(middle))), 4))
}

// enough values show where the middle of a column lies.
const enough = 10_000

// middleOf is the median of the values that are there, without the rows given;
// NaN for none. Of long columns it looks at evenly spread rows.
func middleOf(values []float64, without []int32) float64 {
	step := max(1, len(values)/enough)
	v := make([]float64, 0, len(values)/step+1)
	for row := 0; row < len(values); row += step {
		if x := values[row]; !math.IsNaN(x) {
			if _, skip := slices.BinarySearch(without, int32(row)); !skip {
				v = append(v, x)
			}
		}
	}
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[len(v)/2]
}

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
