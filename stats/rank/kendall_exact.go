package rank

import "math"

// Exact distributions of counts of pairs out of order: products of polynomials
// in q whose coefficient at q^k is the chance of k such pairs. A value put at
// random among p - 1 others is out of order with 0 … p - 1 of them, all equally
// likely, which multiplies by (1 - q^p)/(1 - q)/p; the r-th value of a group of
// equal ones cannot be told from the r - 1 before it, which divides by
// (1 - q^r)/(1 - q)/r (G. E. Andrews 1976, The Theory of Partitions, Encyclopedia
// of Mathematics and its Applications 2, Addison-Wesley, section 3.4).

// distribution is the exact one of S, as probabilities of S = -max, -max+1, …,
// max. It holds where at most one of x and y has ties.
func (k kendallCount) distribution() []float64 {
	most := k.untied()
	half := k.discordance([]float64{1}, 0, most/2)
	// S = (pairs untied) - 2 × discordant, on every second integer, and alike on
	// either side of 0.
	out := make([]float64, 2*most+1)
	for d, p := range half {
		out[2*d], out[2*(most-d)] = p, p
	}
	return out
}

// untied is the number of pairs that differ in x and y where at most one of
// them has ties.
func (k kendallCount) untied() int {
	return k.n*(k.n-1)/2 - int(pairsIn(k.tiesX)) - int(pairsIn(k.tiesY))
}

// discordance takes the chances of 0, 1, … most pairs, of at most degree, and
// adds the discordant pairs of a shuffled ranking, of x and y of which at most
// one has ties.
func (k kendallCount) discordance(chances []float64, degree, most int) []float64 {
	ties := k.tiesY
	if ties == nil {
		ties = k.tiesX
	}
	var room []float64
	before := 0
	step := func(r int) {
		before++
		chances, room = inserted(chances, room, degree, most, before, r)
		degree += before - r
	}
	for _, t := range ties {
		for r := range t {
			step(r + 1)
		}
	}
	for before < k.n {
		step(1)
	}
	return chances
}

// inserted adds to a count of pairs, given by its chances of 0, 1, … most and
// of at most degree, those of a value put among p - 1 others of which r - 1 are
// equal to it: it multiplies by (1 - q^p)/(1 - q^r)·r/p. The result is written
// to room; the slice it replaces is returned with it, to be used again.
func inserted(chances, room []float64, degree, most, p, r int) (out, free []float64) {
	n := min(degree+p-r, most) + 1
	if cap(room) < n {
		room = make([]float64, n, max(n, 2*cap(room)))
	}
	out = room[:n]
	share := float64(r) / float64(p)
	known := min(n, len(chances))
	for k, c := range chances[:known] {
		out[k] = share * c
	}
	clear(out[known:])
	for k := p; k < n; k++ {
		out[k] -= share * chances[k-p]
	}
	for k := r; k < n; k++ {
		if out[k] += out[k-r]; out[k] < 0 { // zero but for rounding
			out[k] = 0
		}
	}
	return out, chances
}

// mannWhitney is the exact distribution of the number of pairs out of order
// between two shuffled groups of a and b values without ties.
func mannWhitney(a, b int) []float64 {
	a, b = max(a, b), min(a, b)
	half, room := []float64{1}, []float64(nil)
	for r := 1; r <= b; r++ {
		half, room = inserted(half, room, a*(r-1), a*b/2, a+r, r)
	}
	out := make([]float64, a*b+1)
	for u, p := range half {
		out[u], out[a*b-u] = p, p
	}
	return out
}

// convolve is the distribution of a sum of two independent counts.
func convolve(a, b []float64) []float64 {
	out := make([]float64, len(a)+len(b)-1)
	for i, p := range a {
		if p == 0 {
			continue
		}
		for j, q := range b {
			out[i+j] += p * q
		}
	}
	return out
}

// tailBeyond is the two-sided p of s under a distribution centred on its
// middle element: the chance of a value at least as far from zero. The exact
// distributions here are symmetric, but for ties in both variables; counting
// both tails needs no such assumption.
func tailBeyond(distribution []float64, s int) float64 {
	middle := len(distribution) / 2
	var p float64
	for i, q := range distribution {
		if max(i-middle, middle-i) >= max(s, -s) {
			p += q
		}
	}
	return math.Min(1, p)
}
