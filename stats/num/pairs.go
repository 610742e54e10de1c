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

// CheckPairs refuses pairs that cannot be used: lengths that differ, fewer
// than need, values that are not finite.
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

// Varies says whether x holds two different values.
func Varies(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// PlainMean is the mean of a few finite values, summed without compensation.
func PlainMean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// RowOrder returns the rows ordered by their values, so that seeded draws do
// not depend on the order in which the rows stand in the log.
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
