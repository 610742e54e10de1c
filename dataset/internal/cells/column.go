// Package cells holds the cells of one column: numbers in its unit, texts each kept
// once, or dates, beside what the cells say of how they were measured. It works out
// derived measures row by row when they are asked for, and tells the step in which a
// column was read and the digits that it warrants. It reads no text.
package cells

import (
	"math"
	"slices"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/units"
)

// Class is how the cells of a column are stored.
type Class uint8

// The classes of columns.
const (
	Numbers Class = iota
	Texts
	Dates
)

// Repeat is one cell with several readings of the same thing.
type Repeat struct {
	Row int
	N   int     // readings
	SD  float64 // their standard deviation, base unit
}

// Column holds the cells of one field of the log, or of a derived measure.
type Column struct {
	Name   string // in the log
	Def    catalogue.Column
	Known  bool   // one of the catalogue
	Field  int    // place in the record, -1 for derived
	Header string // as the log writes it; "" for derived
	Class  Class
	Trial  bool // a column of the user's own that holds numbers so far

	Unit    units.Unit // the header's, or the one assumed
	Given   bool       // the header names its unit
	Percent bool       // percents written as fractions of one

	Num       []float64 // numbers and dates; nil for a derived measure, see Values
	Aside     []int32   // rows that count as blank although Num holds a number, ascending
	Precision []uint8   // dates
	Codes     []uint32  // texts: index into Words
	Words     *Words

	Formula func([]float64) float64 // of a derived measure, from its inputs
	Inputs  []*Column               // nil where the log lacks one
	Rows    int                     // openings; 0 while they are read

	Repeats []Repeat
	Approx  []int32        // rows marked as rough
	Own     []int32        // rows whose cell brings its own unit, ascending
	OwnUnit map[string]int // how often each of those units stands there
	Other   int            // cells in the column's unit
	Places  [8]int         // cells by digits behind the decimal mark
	Broken  int            // cells written as fractions
	Bad     int            // cells that cannot be read
}

// Dimension is what the column measures; false where it has no unit.
func (c *Column) Dimension() (units.Dimension, bool) { return c.Def.Kind.Dimension() }

// Words keeps each distinct text once.
type Words struct {
	Index map[string]uint32
	List  []string
}

// NewWords returns the words of an empty column: the blank has code 0.
func NewWords() *Words {
	return &Words{Index: map[string]uint32{"": 0}, List: []string{""}}
}

// Code returns the place of a text in List, which takes it in.
func (in *Words) Code(s string) uint32 {
	if c, ok := in.Index[s]; ok {
		return c
	}
	s = strings.Clone(s) // do not hold on to the whole record
	c := uint32(len(in.List))
	in.Index[s] = c
	in.List = append(in.List, s)
	return c
}

// Spread gathers the readings of a cell: their mean and standard deviation.
func Spread(v []float64) (mean, sd float64) {
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

// DefaultDecimals are shown where the cells do not tell how many there are.
const DefaultDecimals = 2

// usualShare: digits that fewer cells than the rest carry do not set the
// precision of a column.
const usualShare = 0.95

// Decimals is how many digits behind the mark the column's cells carry.
func (c *Column) Decimals() int {
	total := c.Broken + total(c.Places)
	if total == 0 {
		return DefaultDecimals
	}
	if c.Def.Whole {
		return 0
	}
	if c.Broken*2 > total {
		return 2 // a tape's fractions, to the nearest hundredth
	}
	sum := 0
	for d, n := range c.Places {
		if sum += n; float64(sum) >= usualShare*float64(total-c.Broken) {
			return min(d, 4)
		}
	}
	return 4
}

// ThreeDigits is how many decimals show the middle of a column with three
// significant digits.
func ThreeDigits(base []float64, perBase float64) int {
	middle := math.Abs(Middle(base, nil) * perBase)
	if !(middle > 0) || math.IsInf(middle, 0) {
		return DefaultDecimals
	}
	return max(0, min(2-int(math.Floor(math.Log10(middle))), 4))
}

// Enough values show where the middle of a column lies.
const Enough = 10_000

// Middle is the median of the values that are there, without the rows given;
// NaN for none. Of long columns it looks at evenly spread rows.
func Middle(values []float64, without []int32) float64 {
	step := max(1, len(values)/Enough)
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

// PrecisionCode is the place of a precision among them.
func PrecisionCode(name string) uint8 { return uint8(slices.Index(precisions, name)) }
