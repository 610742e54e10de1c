package rank

import "math"

// The exact distribution of a number of discordant pairs is the product of
// polynomials in q, the coefficient of q^k being the probability of k pairs. A value
// inserted at random among p - 1 others is discordant with 0 … p - 1 of them, all
// equally likely: a factor (1 - q^p)/(1 - q)/p. The r-th of a group of equal values
// cannot be distinguished from the r - 1 before it: a divisor (1 - q^r)/(1 - q)/r
// (G. E. Andrews 1976, The Theory of Partitions, Encyclopedia of Mathematics and
// its Applications 2, Addison-Wesley, section 3.4).

// distribution returns the exact distribution of S, as probabilities of S = -max,
// -max+1, …, max, max being the number of untied pairs. At most one of x and y may
// have ties.
func (k kendallCount) distribution() []float64 {
	most := k.untied()
	half := k.discordance([]float64{1}, 0, most/2)
	// S = untied pairs - 2 × discordant pairs, so it takes every second integer,
	// symmetrically about 0.
	out := make([]float64, 2*most+1)
	for d, p := range half {
		out[2*d], out[2*(most-d)] = p, p
	}
	return out
}

// untied returns the number of pairs that differ in x and in y; at most one of
// them may have ties.
func (k kendallCount) untied() int {
	return k.n*(k.n-1)/2 - int(pairsIn(k.tiesX)) - int(pairsIn(k.tiesY))
}

// discordance adds the discordant pairs of a random ranking to a count of at most
// degree pairs, whose probabilities of 0, 1, … most are chances, and returns those
// of the sum. At most one of x and y may have ties.
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

// inserted adds to a count of pairs, given as in discordance, those of a value
// inserted among p - 1 others, r - 1 of them equal to it: it multiplies by
// (1 - q^p)/(1 - q^r)·r/p. The result is stored in room if that is large enough;
// chances is returned as free, to be the next room.
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
		if out[k] += out[k-r]; out[k] < 0 { // negative only by rounding
			out[k] = 0
		}
	}
	return out, chances
}

// mannWhitney returns the exact null distribution of the Mann–Whitney count for
// groups of a and b values without ties: probabilities of 0, 1, … a·b.
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

// convolve returns the distribution of the sum of two independent counts.
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

// tailBeyond returns the two-sided p-value of s, the probability of a value at
// least as far from zero; the middle element of the distribution is that of zero.
// It sums both tails because ties in both variables can make the distribution
// asymmetric.
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
