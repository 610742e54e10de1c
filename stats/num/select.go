package num

import (
	"math/bits"
	"slices"
)

// sortBelow is the number of values at or below which SelectRank sorts instead
// of partitioning further.
const sortBelow = 12

// SelectRank reorders x in place so that x[k] is the value of rank k (counted
// from 0), with no larger value before it and no smaller one after it. x must
// not hold NaN. The method is quickselect, O(n): C. A. R. Hoare (1961),
// Communications of the ACM 4, 321-322, algorithm 65, with the median of three
// as pivot and a full sort as fallback after too many partitions.
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
			return // every value between the two parts equals the pivot
		}
	}
	slices.Sort(x)
}
