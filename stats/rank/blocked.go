package rank

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// BlockedKendallResult is the result of Kendall's test summed over blocks.
type BlockedKendallResult struct {
	N, Blocks int // blocks with at least two values, and the values in them
	S         int
	Var, Z    float64 // as in KendallResult, summed over independent blocks
	P         float64 // two-sided, from the normal approximation to Z
	// ExactP is the two-sided p-value over all orders of the values within the
	// blocks; NaN if the exact distribution is not computed (see BlockedKendall).
	// If it is a number, prefer it to P.
	ExactP float64
	// Heterogeneity is a χ² statistic with HeterogeneityDF degrees of freedom for
	// trends that differ between blocks; HeterogeneityP is its p-value, NaN if
	// fewer than two blocks have a varying S.
	Heterogeneity   float64
	HeterogeneityDF int
	HeterogeneityP  float64
	Each            []KendallResult // one per block; zero for a block of fewer than two values
}

// BlockedKendall tests for a trend shared by all blocks (the seasonal or
// regional Kendall test). Its only assumption is that, without a trend, the values
// of a block are equally likely in every order.
//
// Source: Hirsch, Slack and Smith (1982), Water Resources Research 18,
// 107–121; ties and the test of heterogeneity (van Belle and Hughes 1984,
// Water Resources Research 20, 127–136; without continuity correction) as in
// USEPA (2009), Unified Guidance, chapter 14. The exact p-value convolves the
// exact distributions of the blocks, for at most 100 values: by counting in blocks
// with ties in at most one variable, by listing all orders in blocks of up to 8
// values with ties in both.
//
// Blocks of fewer than two values are ignored. Errors: no block with two values
// (*TooFewError), lengths that differ (*LengthError), NaN or infinite values
// (*NonFiniteError).
func BlockedKendall(blocks []num.Series) (BlockedKendallResult, error) {
	r := BlockedKendallResult{Each: make([]KendallResult, len(blocks)), ExactP: math.NaN(), HeterogeneityP: math.NaN()}
	if err := num.CheckBlocks(blocks, 2); err != nil {
		return r, err
	}
	var z, z2 float64
	spread := 0 // blocks whose S can vary
	counts := make([]kendallCount, 0, len(blocks))
	var room kendallRoom
	for i, b := range blocks {
		if len(b.T) < 2 {
			continue
		}
		k := room.count(b.T, b.Y)
		counts = append(counts, k)
		one := k.result()
		r.Each[i] = one
		r.N += k.n
		r.Blocks++
		r.S += one.S
		r.Var += one.Var
		if one.Var > 0 {
			zi := float64(one.S) / math.Sqrt(one.Var)
			z, z2, spread = z+zi, z2+zi*zi, spread+1
		}
	}
	r.Z = continuityZ(float64(r.S), r.Var)
	r.P = num.TwoSided(r.Z)
	if r.N <= exactBlockedMax {
		r.ExactP = exactBlocked(blocks, counts, r.S)
	}
	if spread > 1 {
		r.HeterogeneityDF = spread - 1
		r.Heterogeneity = math.Max(0, z2-z*z/float64(spread))
		r.HeterogeneityP = distuv.ChiSquared{K: float64(spread - 1)}.Survival(r.Heterogeneity)
	}
	return r, nil
}

const (
	// exactBlockedMax is the largest number of values for which the exact
	// distribution of the summed S is computed; above it the normal approximation
	// is close.
	exactBlockedMax = 100
	// listedMax is the largest size of a block with ties in both variables whose
	// orders are all listed: 8! = 40,320.
	listedMax = 8
)

// exactBlocked returns the exact p-value from the distributions of the blocks; NaN
// if one of them is not computed.
func exactBlocked(blocks []num.Series, counts []kendallCount, s int) float64 {
	untied, single := 0, true
	for _, k := range counts {
		untied += k.untied()
		single = single && (k.tiesX == nil || k.tiesY == nil)
	}
	if single {
		return exactTail(counts, untied, s)
	}
	sum := []float64{1}
	at := 0
	for _, b := range blocks {
		if len(b.T) < 2 {
			continue
		}
		k := counts[at]
		at++
		switch {
		case k.tiesX == nil || k.tiesY == nil:
			sum = convolve(sum, k.distribution())
		case k.n <= listedMax:
			sum = convolve(sum, listedDistribution(b))
		default:
			return math.NaN()
		}
	}
	return tailBeyond(sum, s)
}

// exactTail is exactBlocked if no block has ties in both variables. S is then the
// number of untied pairs less twice that of discordant ones and its distribution is
// symmetric about 0, so that only the probabilities of few discordant pairs are
// needed.
func exactTail(counts []kendallCount, untied, s int) float64 {
	if s == 0 {
		return 1
	}
	most := (untied - max(s, -s)) / 2
	chances, degree := []float64{1}, 0
	for _, k := range counts {
		chances = k.discordance(chances, degree, most)
		degree += k.untied()
	}
	p := 0.0
	for _, c := range chances {
		p += c
	}
	return math.Min(1, 2*p)
}

// listedDistribution returns the distribution of S over all orders of the block's
// values, as probabilities of S = -max, …, max.
func listedDistribution(b num.Series) []float64 {
	n := len(b.T)
	most := n * (n - 1) / 2
	out := make([]float64, 2*most+1)
	y := slices.Clone(b.Y)
	total := 0.0
	permutations(n, func(order []int) {
		s := 0
		for i := range n {
			for j := range i {
				dt, dy := b.T[i]-b.T[j], y[order[i]]-y[order[j]]
				switch p := dt * dy; {
				case p > 0:
					s++
				case p < 0:
					s--
				}
			}
		}
		out[most+s]++
		total++
	})
	for i := range out {
		out[i] /= total
	}
	return out
}

// permutations calls visit with every permutation of 0…n-1; visit must not keep
// or modify the slice.
func permutations(n int, visit func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var turn func(k int)
	turn = func(k int) {
		if k == n {
			visit(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			turn(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	turn(0)
}
