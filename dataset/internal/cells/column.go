// Package cells holds the cells of one column (numbers, texts stored once each,
// or dates) and what they show about how they were measured. It computes
// derived measures row by row on use, and estimates the resolution of a column
// and the number of decimals it justifies. It parses no text.
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

// Repeat is one cell with several readings of the same quantity.
type Repeat struct {
	Row int
	N   int     // number of readings
	SD  float64 // standard deviation of the readings, base unit
}

// Column holds the cells of one field of the log or of one derived measure.
type Column struct {
	Name   string // in the log
	Def    catalogue.Column
	Known  bool   // described in the catalogue
	Field  int    // index in the record, -1 for a derived measure
	Header string // as written in the log; "" for a derived measure
	Class  Class
	Trial  bool // a column of the user's own that holds numbers so far

	Unit    units.Unit // named in the header, or assumed
	Given   bool       // the header names its unit
	Percent bool       // percentages written as fractions of one

	Num       []float64 // numbers and dates; nil for a derived measure (see Values)
	Aside     []int32   // rows that count as blank although Num holds a number, ascending
	Precision []uint8   // dates
	Codes     []uint32  // texts: index into Words
	Words     *Words

	Formula func([]float64) float64 // of a derived measure, a function of its inputs
	Inputs  []*Column               // nil for an input that the log lacks
	Rows    int                     // number of openings; 0 while reading

	Repeats []Repeat
	Approx  []int32        // rows marked as approximate
	Own     []int32        // rows whose cell states its own unit, ascending
	OwnUnit map[string]int // cells by own unit
	Other   int            // cells in the column's unit
	Places  [8]int         // cells by number of decimals
	Broken  int            // cells written as fractions
	Bad     int            // cells that cannot be read
}

// Dimension returns what the column measures; false if its kind has no
// dimension.
func (c *Column) Dimension() (units.Dimension, bool) { return c.Def.Kind.Dimension() }

// Words stores each distinct text of a column once.
type Words struct {
	Index map[string]uint32
	List  []string
}

// NewWords returns the Words of an empty column, in which the blank text has
// code 0.
func NewWords() *Words {
	return &Words{Index: map[string]uint32{"": 0}, List: []string{""}}
}

// Code returns the index of a text in List, adding it if necessary.
func (in *Words) Code(s string) uint32 {
	if c, ok := in.Index[s]; ok {
		return c
	}
	s = strings.Clone(s) // s may share memory with the whole record
	c := uint32(len(in.List))
	in.Index[s] = c
	in.List = append(in.List, s)
	return c
}

// Spread returns the mean and the standard deviation of the readings of a cell;
// the latter is NaN for a single reading.
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

// DefaultDecimals is the number of decimals shown if the cells do not determine
// it.
const DefaultDecimals = 2

// usualShare is the share of a column's cells that determine its number of
// decimals; further decimals in the rest are ignored.
const usualShare = 0.95

// Decimals returns the number of decimals of the column's cells, at most 4.
func (c *Column) Decimals() int {
	total := c.Broken + total(c.Places)
	if total == 0 {
		return DefaultDecimals
	}
	if c.Def.Whole {
		return 0
	}
	if c.Broken*2 > total {
		return 2 // fractions of an inch from a tape: show hundredths
	}
	sum := 0
	for d, n := range c.Places {
		if sum += n; float64(sum) >= usualShare*float64(total-c.Broken) {
			return min(d, 4)
		}
	}
	return 4
}

// ThreeDigits returns the number of decimals, at most 4, that show the median
// of a column with three significant digits.
func ThreeDigits(base []float64, perBase float64) int {
	middle := math.Abs(Median(base, nil) * perBase)
	if !(middle > 0) || math.IsInf(middle, 0) {
		return DefaultDecimals
	}
	return max(0, min(2-int(math.Floor(math.Log10(middle))), 4))
}

// MedianSample is the number of values from which a median is estimated in a long
// column.
const MedianSample = 10_000

// Median returns the median of the values that are not NaN, without the given
// rows; the upper of the two middle ones for an even number, NaN for none. In a
// long column it uses evenly spaced rows.
func Median(values []float64, without []int32) float64 {
	step := max(1, len(values)/MedianSample)
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

// precisions of a date, by the code under which they are stored.
var precisions = []string{"", "day", "month", "year"}

// PrecisionCode returns the code of a precision.
func PrecisionCode(name string) uint8 { return uint8(slices.Index(precisions, name)) }
