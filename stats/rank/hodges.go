package rank

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// HodgesLehmannFit is the estimated shift between two samples, or between the two
// parts of each block.
type HodgesLehmannFit struct {
	Shift     float64 // median of after minus before over all pairs within blocks
	Low, High float64 // confidence interval; infinite if there are too few pairs to bound it
	Pairs     int
	Exact     bool // interval from the exact Mann–Whitney distribution, else from its normal approximation
}

// exactPairsMax is the largest number of pairs for which the interval is exact;
// above it the normal approximation is close.
const exactPairsMax = 2500

// HodgesLehmann estimates by how much values rose from before to after. Both hold
// the blocks in the same order, and values are compared only within a block. For
// one block it is the two-sample estimator.
//
// Source: Hodges and Lehmann (1963), Annals of Mathematical Statistics 34,
// 598–611. The limits of the interval are the ordered differences at the quantiles
// of the Mann–Whitney count, summed over blocks, exact without ties (Hollander and
// Wolfe, Nonparametric Statistical Methods, section 4.3).
//
// The interval is NaN for a confidence outside (0, 1). Errors: numbers of blocks
// that differ (*LengthError), NaN or infinite values (*NonFiniteError), no block
// with a value on both sides (*TooFewError).
func HodgesLehmann(before, after [][]float64, confidence float64) (HodgesLehmannFit, error) {
	if len(before) != len(after) {
		return HodgesLehmannFit{}, &num.LengthError{Column: "after", Have: len(after), Want: len(before)}
	}
	var differences []float64
	variance, ties := 0.0, false
	for i, b := range before {
		a := after[i]
		if k := num.FirstNonFinite(b); k >= 0 {
			return HodgesLehmannFit{}, &num.NonFiniteError{Column: "before", Row: k}
		}
		if k := num.FirstNonFinite(a); k >= 0 {
			return HodgesLehmannFit{}, &num.NonFiniteError{Column: "after", Row: k}
		}
		if len(a) == 0 || len(b) == 0 {
			continue
		}
		for _, v := range a {
			for _, w := range b {
				differences = append(differences, v-w)
			}
		}
		all := slices.Concat(a, b)
		slices.Sort(all)
		sizes := tieSizes(all)
		ties = ties || sizes != nil
		variance += mannWhitneyVariance(len(a), len(b), sizes)
	}
	n := len(differences)
	if n == 0 {
		return HodgesLehmannFit{}, &num.TooFewError{What: "blocks with values on both sides", Need: 1}
	}
	slices.Sort(differences)
	r := HodgesLehmannFit{Shift: num.QuantileSorted(differences, 0.5), Low: math.NaN(), High: math.NaN(), Pairs: n}
	if !(confidence > 0 && confidence < 1) {
		return r, nil
	}
	out := 0 // number of ordered differences outside the interval on either side
	if !ties && n <= exactPairsMax {
		r.Exact = true
		out = exactRank(before, after, (1-confidence)/2) - 1
	} else {
		z := distuv.UnitNormal.Quantile((1 + confidence) / 2)
		out = int(math.Floor(float64(n)/2 - z*math.Sqrt(variance) - 0.5))
	}
	r.Low, r.High = math.Inf(-1), math.Inf(1)
	if out >= 0 {
		r.Low, r.High = differences[out], differences[n-1-out]
	}
	return r, nil
}

// mannWhitneyVariance returns the null variance of the Mann–Whitney count for
// groups of a and b values, given the sizes of the ties among all of them.
func mannWhitneyVariance(a, b int, ties []int) float64 {
	n := float64(a + b)
	sum := 0.0
	for _, t := range ties {
		t := float64(t)
		sum += t * (t*t - 1)
	}
	return float64(a) * float64(b) / 12 * (n + 1 - sum/(n*(n-1)))
}

// exactRank returns the smallest count u with P(U <= u) > tail. This is the rank,
// from 1, of the first ordered difference inside the interval; 0 if leaving out no
// difference already leaves out more than tail.
func exactRank(before, after [][]float64, tail float64) int {
	distribution := []float64{1}
	for i := range before {
		if len(before[i]) > 0 && len(after[i]) > 0 {
			distribution = convolve(distribution, mannWhitney(len(after[i]), len(before[i])))
		}
	}
	sum := 0.0
	for u, p := range distribution {
		sum += p
		if sum > tail {
			return u
		}
	}
	return 0
}
