package rank

import (
	"math"
	"math/rand/v2"

	"pleatstat/stats/num"
)

// PermutationOptions are the choices of WithinPermutation; the zero value
// means the defaults.
type PermutationOptions struct {
	Seed uint64 // 0 = 1
	// Most is the largest number of orders looked at; 0 = 100,000, which
	// resolves a p of 0.0001 to a tenth of itself.
	Most int
}

// PermutationResult is a p by permutation.
type PermutationResult struct {
	P      float64
	Orders int  // orders looked at
	Exact  bool // every order was looked at
}

const (
	defaultOrders = 100_000
	// Up to this many, all orders are listed instead of drawn.
	listedOrders = 50_000
	// A p that is not small is soon known well enough: drawing ends once this
	// many orders are at least as extreme (Besag and Clifford 1991, Biometrika
	// 78, 301–304), where p has a relative error of about 1/7.
	enoughExtreme = 50
)

// WithinPermutation is the two-sided p of Σ (t - block mean)·y when the values
// of each block could have come in any order: the test of a slope of zero that
// needs no assumption about the noise but that.
//
// Where there are at most 50,000 orders all are listed and P is exact;
// otherwise orders are drawn, the observed one counted among them, until 50
// are at least as extreme or o.Most is reached. Passing scores (for instance
// ranks or clipped deviations) for y gives a robust test.
//
// Without spread in t or y the p is 1. Errors: lengths that differ
// (*LengthError), NaN or infinite values (*NonFiniteError).
func WithinPermutation(blocks []num.Series, o PermutationOptions) (PermutationResult, error) {
	if err := num.CheckBlocks(blocks, 0); err != nil {
		return PermutationResult{}, err
	}
	var used []num.Series // deviations from the block's means
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
	// Orders that differ from the observed one by rounding only are as extreme.
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

// listWithin visits the statistic of every combination of orders of the blocks
// from the given one on.
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
