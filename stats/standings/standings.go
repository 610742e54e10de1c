// Package standings answers "which places in a table are compatible with the data?"
// for each of a set of estimates.
//
// The true values are taken as drawn from one distribution, and ranges of places
// come from draws of their joint posterior, so that all ranges of a table hold
// simultaneously. The sources are cited at Ranges.
package standings

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

const (
	// All is the largest number of products that all get a range; in longer tables
	// only the first and the last Ends products do.
	All  = 250
	Ends = 25
	// work limits draws times products, but at least fewestDrawn draws are made.
	work        = 1_000_000
	fewestDrawn = 400
	burnIn      = 200
	// valueTail is the degrees of freedom of the Student's t from which the true
	// values are drawn. Its long tails keep one extreme value, such as a very thick
	// can, from widening the distribution of the others.
	valueTail = 5.0
	// drawnInside is the share of draws that the ranges must hold. It keeps the
	// simultaneous coverage at 0.95 also if the true values are skewed or in two
	// groups (TestRangesHold); a share of 0.95 gave 0.93 and 0.90 there.
	drawnInside = 0.97
)

// Estimate is the estimate of one product.
type Estimate struct {
	Value float64 // the largest has place 1
	N     int     // number of observations, at least 1
	Extra float64 // variance beyond that of the observations, in units of the noise variance
}

// Variance returns the variance of the value, in units of the noise variance.
func (s Estimate) Variance() float64 { return 1/float64(s.N) + s.Extra }

// Ranges returns for every product a range of places such that all ranges hold
// simultaneously with 95 %. The true values are taken as drawn from one distribution
// (a Student's t of unknown location and scale), and the places are those of draws
// from their posterior: Laird and Louis (1989), Journal of Educational Statistics
// 14, 29–46, on ranking by the posterior; flat priors on location and scale (Gelman
// 2006, Bayesian Analysis 1, 515–534); the uncertainty of the noise from its degrees
// of freedom. The ranges leave out equally many draws at either end of every
// product, as many as still leave drawnInside of the draws inside all ranges at once
// (Besag, Green, Higdon and Mengersen 1995, Statistical Science 10, 3–66, section
// 6.3).
//
// The noise has standard deviation sd, estimated with df degrees of freedom, on the
// scale of the values; if it is not known (NaN or 0), all places are possible. low
// and high have one entry per product, 1 being the first place and 0 meaning not
// computed.
func Ranges(s []Estimate, sd, df float64, draws int, rng *rand.Rand) (low, high []int) {
	p := len(s)
	low, high = make([]int, p), make([]int, p)
	if p == 0 {
		return low, high
	}
	if !(sd > 0) || df <= 0 {
		for i := range s {
			low[i], high[i] = 1, p
		}
		return low, high
	}
	which := wanted(s)
	draws = max(fewestDrawn, min(draws, work/p))
	ranks := make([][]int32, draws) // by draw, of the products in which
	values := newPosterior(s, sd, df, rng)
	for range burnIn {
		values.step()
	}
	order, place := num.AllRows(p), make([]int32, p)
	for r := range ranks {
		values.step()
		slices.SortFunc(order, func(a, b int) int { return num.Compare(values.theta[b], values.theta[a]) })
		for at, i := range order {
			place[i] = int32(at + 1)
		}
		ranks[r] = make([]int32, len(which))
		for k, i := range which {
			ranks[r][k] = place[i]
		}
	}
	for k, ends := range together(ranks, len(which)) {
		low[which[k]], high[which[k]] = int(ends[0]), int(ends[1])
	}
	return low, high
}

// together returns the narrowest ranges, with equally many draws left out at either
// end of each, such that a share drawnInside of the draws lies inside all of them.
func together(ranks [][]int32, products int) [][2]int32 {
	sorted := make([][]int32, products)
	for k := range sorted {
		sorted[k] = make([]int32, len(ranks))
		for r, row := range ranks {
			sorted[k][r] = row[k]
		}
		slices.Sort(sorted[k])
	}
	ends := func(out int) [][2]int32 {
		e := make([][2]int32, products)
		for k, v := range sorted {
			e[k] = [2]int32{v[out], v[len(v)-1-out]}
		}
		return e
	}
	inside := func(e [][2]int32) float64 {
		held := 0
		for _, row := range ranks {
			all := true
			for k, v := range row {
				if v < e[k][0] || v > e[k][1] {
					all = false
					break
				}
			}
			if all {
				held++
			}
		}
		return float64(held) / float64(len(ranks))
	}
	few, many := 0, len(ranks)/2 // invariant: leaving out few satisfies drawnInside
	for many-few > 1 {
		if mid := (few + many) / 2; inside(ends(mid)) >= drawnInside {
			few = mid
		} else {
			many = mid
		}
	}
	return ends(few)
}

// posterior draws the true values of a table by Gibbs sampling, the t distribution
// being a scale mixture of normals.
type posterior struct {
	s               []Estimate
	theta, weight   []float64 // true values, and their weights in the scale mixture
	middle, squared float64   // location and squared scale of their distribution
	sd, df          float64   // of the noise
	spread          distuv.ChiSquared
	rng             *rand.Rand
}

func newPosterior(s []Estimate, sd, df float64, rng *rand.Rand) *posterior {
	p := &posterior{s: s, theta: make([]float64, len(s)), weight: make([]float64, len(s)), sd: sd, df: df,
		spread: distuv.ChiSquared{K: df, Src: rng}, rng: rng}
	for i, v := range s {
		p.theta[i], p.weight[i] = v.Value, 1
		p.middle += v.Value / float64(len(s))
	}
	for _, v := range s {
		p.squared += (v.Value - p.middle) * (v.Value - p.middle) / float64(len(s))
	}
	p.squared = math.Max(p.squared, sd*sd)
	return p
}

// step draws every unknown once, given the others.
func (p *posterior) step() {
	noise := p.sd * p.sd * p.df / p.spread.Rand()
	sum, weights, squares := 0.0, 0.0, 0.0
	for i, s := range p.s {
		own, shared := 1/(noise*s.Variance()), p.weight[i]/p.squared
		p.theta[i] = (own*s.Value+shared*p.middle)/(own+shared) + p.rng.NormFloat64()/math.Sqrt(own+shared)
		d := p.theta[i] - p.middle
		p.weight[i] = distuv.Gamma{Alpha: (valueTail + 1) / 2, Beta: (valueTail + d*d/p.squared) / 2, Src: p.rng}.Rand()
		sum += p.weight[i] * p.theta[i]
		weights += p.weight[i]
	}
	p.middle = sum/weights + p.rng.NormFloat64()*math.Sqrt(p.squared/weights)
	for i, t := range p.theta {
		squares += p.weight[i] * (t - p.middle) * (t - p.middle)
	}
	chi := distuv.ChiSquared{K: float64(max(1, len(p.s)-1)), Src: p.rng}
	p.squared = math.Max(squares/chi.Rand(), 1e-12*noise)
}

// wanted returns the products that get a range: all, or the first and last Ends.
func wanted(s []Estimate) []int {
	order := num.AllRows(len(s))
	if len(s) <= All {
		return order
	}
	slices.SortStableFunc(order, func(a, b int) int { return num.Compare(s[b].Value, s[a].Value) })
	return slices.Concat(order[:Ends], order[len(order)-Ends:])
}
