package rank

import (
	"math"
	"slices"

	"pleatstat/stats/num"
)

// KendallResult is the result of Kendall's test for a monotone relation in one
// block. If x or y is constant, S, Z and Var are 0 and P is 1.
//
// Source: Kendall (1975), Rank Correlation Methods, 4th edition, with the variance
// for ties in both variables of section 4; counting by Knight (1966), JASA 61,
// 436–439.
type KendallResult struct {
	N    int
	S    int     // concordant minus discordant pairs
	Var  float64 // null variance of S, corrected for ties in x and in y
	Z    float64 // S with continuity correction (1 towards zero) over √Var; 0 if Var is 0
	TauA float64 // S over the number of pairs
	TauB float64 // S over the geometric mean of the pairs untied in x and in y; NaN if x or y is constant
	P    float64 // two-sided, from the normal approximation to Z
}

// kendallCount holds the counts from which Kendall's statistics follow.
type kendallCount struct {
	n, s         int
	tiesX, tiesY []int // sizes, at least 2, of the groups of equal values; nil without ties
}

// kendallRoom is workspace for counting, reused from block to block.
type kendallRoom struct{ x, y, scratch []float64 }

// count counts ties and concordant minus discordant pairs, by merge sort.
func (r *kendallRoom) count(x, y []float64) kendallCount {
	xs := x
	ys := append(r.y[:0], y...)
	if !slices.IsSorted(x) {
		order := num.AllRows(len(x))
		slices.SortFunc(order, func(a, b int) int { return num.Compare(x[a], x[b]) })
		xs = append(r.x[:0], x...)
		for i, at := range order {
			xs[i], ys[i] = x[at], y[at]
		}
		r.x = xs
	}
	k := kendallCount{n: len(x), tiesX: tieSizes(xs)}
	both := 0 // pairs tied in x and y
	if k.tiesX != nil {
		num.EachTime(num.Series{T: xs, Y: ys}, func(i, j int) {
			if j-i > 1 {
				slices.Sort(ys[i:j]) // so that pairs tied in x count no inversion
				both += int(pairsIn(tieSizes(ys[i:j])))
			}
		})
	}
	r.y, r.scratch = ys, slices.Grow(r.scratch[:0], len(ys))[:len(ys)]
	discordant := inversions(ys, r.scratch) // sorts ys
	k.tiesY = tieSizes(ys)
	pairs := k.n * (k.n - 1) / 2
	k.s = pairs - int(pairsIn(k.tiesX)) - int(pairsIn(k.tiesY)) + both - 2*discordant
	return k
}

// ties returns the sizes of the groups of equal values of x.
func (r *kendallRoom) ties(x []float64) []int {
	if !slices.IsSorted(x) {
		r.x = append(r.x[:0], x...)
		slices.Sort(r.x)
		x = r.x
	}
	return tieSizes(x)
}

// result returns Kendall's test with the p-value of the normal approximation.
func (k kendallCount) result() KendallResult {
	n := float64(k.n)
	pairs := n * (n - 1) / 2
	r := KendallResult{N: k.n, S: k.s, Var: k.variance(), TauA: float64(k.s) / pairs, TauB: math.NaN()}
	if ux, uy := pairs-pairsIn(k.tiesX), pairs-pairsIn(k.tiesY); ux > 0 && uy > 0 {
		r.TauB = float64(k.s) / math.Sqrt(ux*uy)
	}
	r.Z = continuityZ(float64(k.s), r.Var)
	r.P = num.TwoSided(r.Z)
	return r
}

// variance returns the null variance of S (Kendall 1975, formula 4.3, with ties in
// both rankings).
func (k kendallCount) variance() float64 {
	n := float64(k.n)
	v := n * (n - 1) * (2*n + 5)
	var x1, y1, x2, y2 float64
	for _, t := range k.tiesX {
		t := float64(t)
		v -= t * (t - 1) * (2*t + 5)
		x1 += t * (t - 1)
		x2 += t * (t - 1) * (t - 2)
	}
	for _, t := range k.tiesY {
		t := float64(t)
		v -= t * (t - 1) * (2*t + 5)
		y1 += t * (t - 1)
		y2 += t * (t - 1) * (t - 2)
	}
	v /= 18
	if k.n > 1 {
		v += x1 * y1 / (2 * n * (n - 1))
	}
	if k.n > 2 {
		v += x2 * y2 / (9 * n * (n - 1) * (n - 2))
	}
	if len(k.tiesX) == 1 && k.tiesX[0] == k.n || len(k.tiesY) == 1 && k.tiesY[0] == k.n {
		return 0 // x or y is constant: the sum above is zero except for rounding
	}
	return v
}

// continuityZ returns s, moved by 1 towards zero, over its standard deviation.
func continuityZ(s, variance float64) float64 {
	switch {
	case variance <= 0 || s == 0:
		return 0
	case s > 0:
		return (s - 1) / math.Sqrt(variance)
	default:
		return (s + 1) / math.Sqrt(variance)
	}
}

// inversions sorts v and returns the number of pairs that were in falling order;
// scratch must be as long as v.
func inversions(v, scratch []float64) int {
	n := len(v)
	if n <= 12 {
		count := 0
		for i := 1; i < n; i++ {
			value := v[i]
			j := i
			for ; j > 0 && v[j-1] > value; j-- {
				v[j] = v[j-1]
			}
			v[j] = value
			count += i - j
		}
		return count
	}
	half := n / 2
	count := inversions(v[:half], scratch[:half]) + inversions(v[half:], scratch[half:])
	if v[half-1] <= v[half] {
		return count
	}
	copy(scratch, v)
	i, j := 0, half
	for k := range v {
		if j == n || i < half && scratch[i] <= scratch[j] {
			v[k] = scratch[i]
			i++
		} else {
			v[k] = scratch[j]
			j++
			count += half - i
		}
	}
	return count
}

// tieSizes returns the sizes of the groups of two or more equal values.
func tieSizes(sorted []float64) []int {
	var sizes []int
	for i := 0; i < len(sorted); {
		j := i + 1
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		if j-i > 1 {
			sizes = append(sizes, j-i)
		}
		i = j
	}
	return sizes
}

// pairsIn returns the number of pairs within groups of the given sizes.
func pairsIn(sizes []int) float64 {
	pairs := 0.0
	for _, t := range sizes {
		pairs += float64(t) * float64(t-1) / 2
	}
	return pairs
}
