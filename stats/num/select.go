package num

import (
	"math/bits"
	"slices"
)

// sortBelow is the number of values that are sorted rather than divided further.
const sortBelow = 12

// SelectRank moves the values of x so that the one of rank k (from 0) stands at
// k, none larger before it and none smaller behind it, in O(n): C. A. R. Hoare
// (1961), Communications of the ACM 4, 321-322, algorithm 65, about medians of
// three, giving way to a full sort where the pivots are poor. No NaN.
func SelectRank(x []float64, k int) {
	for poor := 4 * bits.Len(uint(len(x))); len(x) > sortBelow && poor > 0; poor-- {
		a, b, c := x[0], x[len(x)/2], x[len(x)-1]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := 0, len(x)-1
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for x[j] > pivot {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			x = x[:j+1]
		case k >= i:
			x, k = x[i:], k-i
		default:
			return // between the two halves all values are the pivot
		}
	}
	slices.Sort(x)
}
