package num

import (
	"cmp"
	"slices"
)

func Compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// CheckPairs returns an error if x and y differ in length, have fewer than need
// values or hold a value that is not finite.
func CheckPairs(x, y []float64, need int) error {
	if len(x) != len(y) {
		return &LengthError{Column: "y", Have: len(y), Want: len(x)}
	}
	if len(x) < need {
		return &TooFewError{What: "pairs of values", Have: len(x), Need: need}
	}
	if i := FirstNonFinite(x); i >= 0 {
		return &NonFiniteError{Column: "x", Row: i}
	}
	if i := FirstNonFinite(y); i >= 0 {
		return &NonFiniteError{Column: "y", Row: i}
	}
	return nil
}

func AllRows(n int) []int {
	rows := make([]int, n)
	for i := range rows {
		rows[i] = i
	}
	return rows
}

// Varies reports whether x holds two different values.
func Varies(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// PlainMean returns the mean of x by plain summation, for short series of finite
// values where the precision of Mean is not needed.
func PlainMean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// RowOrder returns the row indices sorted by the columns in turn and then by y,
// so that seeded draws do not depend on the order of rows in the log.
func RowOrder(columns [][]float64, y []float64) []int {
	order := make([]int, len(y))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		for _, column := range columns {
			if c := cmp.Compare(column[a], column[b]); c != 0 {
				return c
			}
		}
		if c := cmp.Compare(y[a], y[b]); c != 0 {
			return c
		}
		return a - b
	})
	return order
}
