package panel

import (
	"math"
	"slices"

	"pleatstat/stats/num"
)

// PettittResult is Pettitt's test for a change of level.
type PettittResult struct {
	K     int     // largest |U|
	U     int     // U there: positive where values fall
	After int     // number of values before the change
	P     float64 // approximate, two-sided
}

// Pettitt tests whether values in time order change their level once, at a
// point not known beforehand, in O(n log n).
//
// Source: Pettitt (1979), Applied Statistics 28, 126–135; P is his
// approximation 2·exp(-6K²/(n³+n²)), cut at 1. Where several points share the
// largest |U| the first is named. Errors: fewer than two values
// (*TooFewError), NaN or infinite values (*NonFiniteError).
func Pettitt(y []float64) (PettittResult, error) {
	if len(y) < 2 {
		return PettittResult{}, &num.TooFewError{What: "values", Have: len(y), Need: 2}
	}
	if i := num.FirstNonFinite(y); i >= 0 {
		return PettittResult{}, &num.NonFiniteError{Column: "y", Row: i}
	}
	order := num.AllRows(len(y))
	slices.SortFunc(order, func(a, b int) int { return num.Compare(y[a], y[b]) })
	twice := make([]int, len(y)) // twice the rank from 1, ties at their mean
	for i := 0; i < len(order); {
		j := i + 1
		for j < len(order) && y[order[j]] == y[order[i]] {
			j++
		}
		for _, at := range order[i:j] {
			twice[at] = i + j + 1
		}
		i = j
	}
	r := PettittResult{After: 1}
	u := 0
	for t := range len(y) - 1 {
		u += twice[t] - len(y) - 1
		if k := max(u, -u); k > r.K {
			r.K, r.U, r.After = k, u, t+1
		}
	}
	n := float64(len(y))
	r.P = math.Min(1, 2*math.Exp(-6*float64(r.K)*float64(r.K)/(n*n*n+n*n)))
	return r, nil
}
