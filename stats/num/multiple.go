package num

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// ProbabilityError reports a p-value that is NaN or outside [0, 1]. A missing
// p-value is an error, never a rejection.
type ProbabilityError struct {
	Index int
	Value float64
}

func (e *ProbabilityError) Error() string {
	return fmt.Sprintf("p-value %d is %v, want a number from 0 to 1", e.Index+1, e.Value)
}

// BenjaminiHochberg returns the adjusted p-values (q-values) of p, in the order
// of p. Rejecting the hypotheses with q <= a keeps the expected share of false
// rejections at or below a if the tests are independent or positively dependent.
// Equal p-values get equal q-values, and q never falls as p rises. An empty p
// gives an empty result; a p-value that is NaN or outside [0, 1] gives a
// *ProbabilityError.
//
// Source: Y. Benjamini and Y. Hochberg (1995), Controlling the false discovery
// rate, J. R. Statist. Soc. B 57, 289-300.
func BenjaminiHochberg(p []float64) ([]float64, error) {
	order, err := descending(p)
	if err != nil {
		return nil, err
	}
	n := len(p)
	q := make([]float64, n)
	least := 1.0
	for i, at := range order {
		least = math.Min(least, p[at]*(float64(n)/float64(n-i)))
		q[at] = least
	}
	return q, nil
}

// descending checks p and returns its indices from the largest p to the
// smallest.
func descending(p []float64) ([]int, error) {
	type ranked struct {
		p  float64
		at int
	}
	sorted := make([]ranked, len(p))
	for i, v := range p {
		if !(v >= 0 && v <= 1) { // NaN fails as well
			return nil, &ProbabilityError{Index: i, Value: v}
		}
		sorted[i] = ranked{v, i}
	}
	// The order among equal p-values does not affect the result.
	slices.SortFunc(sorted, func(a, b ranked) int { return cmp.Compare(b.p, a.p) })
	order := make([]int, len(p))
	for k, r := range sorted {
		order[k] = r.at
	}
	return order, nil
}
