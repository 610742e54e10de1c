package rank

import (
	"math"
	"math/rand/v2"

	"pleatstat/stats/num"
)

// PermutationOptions are the options of WithinPermutation; the zero value means
// the defaults.
type PermutationOptions struct {
	Seed uint64 // 0 = 1
	// Most is the largest number of orders drawn; 0 = 100,000, so that the
	// smallest p is 0.00001.
	Most int
}

// PermutationResult is the result of a permutation test.
type PermutationResult struct {
	P      float64
	Orders int  // number of orders evaluated
	Exact  bool // whether all orders were evaluated
}

const (
	defaultOrders = 100_000
	// listedOrders is the largest number of orders that are all listed, not drawn.
	listedOrders = 50_000
	// enoughExtreme: drawing stops after this many orders at least as extreme as
	// the observed one (Besag and Clifford 1991, Biometrika 78, 301–304). The
	// relative error of p is then about 1/7, and a large p takes few draws.
	enoughExtreme = 50
)

// WithinPermutation tests for a slope of zero: it returns the two-sided p-value of
// Σ (t - block mean)·y, assuming only that the values of each block are equally
// likely in every order.
//
// If there are at most 50,000 orders, all are listed and P is exact. Otherwise
// orders are drawn until 50 are at least as extreme as the observed one or o.Most
// is reached; the observed order is counted among them. Passing scores for y, such
// as ranks or clipped deviations, gives a robust test.
//
// If t or y does not vary within any block, P is 1. Errors: lengths that differ
// (*LengthError), NaN or infinite values (*NonFiniteError).
func WithinPermutation(blocks []num.Series, o PermutationOptions) (PermutationResult, error) {
	if err := num.CheckBlocks(blocks, 0); err != nil {
		return PermutationResult{}, err
	}
	var used []num.Series // deviations from the means of the block
	observed, size, orders := 0.0, 0.0, 1.0
	for _, b := range blocks {
		if !num.Varies(b.T) || !num.Varies(b.Y) {
			continue
		}
		d := num.InTimeOrder(b) // the draws must not depend on the order of rows
		mt, my := num.PlainMean(d.T), num.PlainMean(d.Y)
		for i := range d.T {
			d.T[i] -= mt
			d.Y[i] -= my
			observed += d.T[i] * d.Y[i]
			size += math.Abs(d.T[i] * d.Y[i])
			orders *= float64(i + 1)
		}
		used = append(used, d)
	}
	if used == nil {
		return PermutationResult{P: 1, Orders: 1, Exact: true}, nil
	}
	// Allow for rounding in orders with the same statistic as the observed one.
	limit := math.Abs(observed) - 1e-12*size
	if orders <= listedOrders {
		extreme, total := 0, 0
		listWithin(used, 0, 0, func(s float64) {
			total++
			if math.Abs(s) >= limit {
				extreme++
			}
		})
		return PermutationResult{P: float64(extreme) / float64(total), Orders: total, Exact: true}, nil
	}
	most := o.Most
	if most <= 0 {
		most = defaultOrders
	}
	seed := o.Seed
	if seed == 0 {
		seed = num.DefaultSeed
	}
	rng := rand.New(rand.NewPCG(seed, uint64(len(used))))
	for extreme, drawn := 1, 2; ; drawn++ {
		s := 0.0
		for _, b := range used {
			rng.Shuffle(len(b.Y), func(i, j int) { b.Y[i], b.Y[j] = b.Y[j], b.Y[i] })
			for i := range b.Y {
				s += b.T[i] * b.Y[i]
			}
		}
		if math.Abs(s) >= limit {
			extreme++
		}
		if extreme > enoughExtreme || drawn > most {
			return PermutationResult{P: float64(extreme) / float64(drawn), Orders: drawn}, nil
		}
	}
}

// listWithin calls visit with the statistic, added to sum, of every combination of
// orders of blocks[from:].
func listWithin(blocks []num.Series, from int, sum float64, visit func(float64)) {
	if from == len(blocks) {
		visit(sum)
		return
	}
	b := blocks[from]
	permutations(len(b.Y), func(order []int) {
		s := sum
		for i, at := range order {
			s += b.T[i] * b.Y[at]
		}
		listWithin(blocks, from+1, s, visit)
	})
}
