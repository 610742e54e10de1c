package roundup

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

const (
	// rankAll products get a range each; of longer tables only the first and
	// last rankEnds, which are what is told, as the work grows with the square.
	rankAll  = 250
	rankEnds = 25
)

// standing is one product's estimate before it gets a place.
type standing struct {
	value float64 // larger = nearer to place 1
	n     int     // openings behind it
	extra float64 // variance beyond that of the openings, in units of the noise's
}

// variance of the value, in units of the noise's.
func (s standing) variance() float64 { return 1/float64(s.n) + s.extra }

// rankRanges gives every product the range of places that the data leave it,
// at 95 %: it stands behind those that are surely better and before those that
// are surely worse, where "surely" holds for all of its comparisons at once.
// The critical value is that of the largest of those comparisons, by a
// bootstrap that resamples the openings within products: each product's noise
// is drawn anew from the pooled differences between openings of one product,
// and the noise's own uncertainty from its degrees of freedom. Unlike the plain
// percentile bootstrap of ranks (Hall and Miller 2009, Annals of Statistics 37,
// 3929–3959, on its failure near ties) it holds its level however close the
// products lie: Mogstad, Romano, Shaikh and Wilhelm (2024), Review of Economic
// Studies 91, 476–518, section 3.
//
// Where the noise is not known every place is open. 0 = not computed.
func rankRanges(s []standing, n Noise, resamples int, rng *rand.Rand) (low, high []int) {
	p := len(s)
	low, high = make([]int, p), make([]int, p)
	if p == 0 {
		return low, high
	}
	if !(n.SD > 0) || n.DF <= 0 {
		for i := range s {
			low[i], high[i] = 1, p
		}
		return low, high
	}
	draws := drawNoise(s, n, resamples, rng)
	variances, groups := byVariance(s, draws)
	for _, j := range wanted(s) {
		c := criticalValue(s, j, draws, variances, groups)
		low[j], high[j] = 1, p
		for k := range s {
			if k == j {
				continue
			}
			far := c * n.SD * apart(s[j], s[k])
			switch d := s[k].value - s[j].value; {
			case d > far:
				low[j]++
			case -d > far:
				high[j]--
			}
		}
	}
	return low, high
}

// apart is the standard deviation of a difference of two means, in units of the
// noise.
func apart(a, b standing) float64 { return math.Sqrt(a.variance() + b.variance()) }

// drawNoise returns one row a resample: the noise of each product's mean, in
// units of the noise as that resample would estimate it.
func drawNoise(s []standing, n Noise, resamples int, rng *rand.Rand) [][]float64 {
	chi := distuv.ChiSquared{K: n.DF, Src: rng}
	draws := make([][]float64, resamples)
	for r := range draws {
		row := make([]float64, len(s))
		seen := math.Sqrt(chi.Rand() / n.DF)
		for i := range s {
			var sum float64
			for range s[i].n {
				if len(n.shapes) > 0 {
					sum += n.shapes[rng.IntN(len(n.shapes))]
				} else {
					sum += rng.NormFloat64()
				}
			}
			row[i] = (sum/float64(s[i].n) + math.Sqrt(s[i].extra)*rng.NormFloat64()) / seen
		}
		draws[r] = row
	}
	return draws
}

// extremes are, for one resample, the smallest and largest noise among the
// products of one variance.
type extremes struct{ low, high float64 }

// mostVariances that are told apart; with more, every product counts by itself.
const mostVariances = 32

// byVariance groups products of equal variance: the largest comparison of a
// product with such a group is that with its smallest or its largest, which
// spares the work of all the others. nil where there are too many variances.
func byVariance(s []standing, draws [][]float64) (variances []float64, found [][]extremes) {
	group := make([]int, len(s))
	for i, p := range s {
		v := p.variance()
		if group[i] = slices.Index(variances, v); group[i] < 0 {
			group[i] = len(variances)
			variances = append(variances, v)
		}
		if len(variances) > mostVariances {
			return nil, nil
		}
	}
	found = make([][]extremes, len(draws))
	for r, row := range draws {
		e := make([]extremes, len(variances))
		for g := range e {
			e[g] = extremes{math.Inf(1), math.Inf(-1)}
		}
		for k, v := range row {
			g := &e[group[k]]
			g.low, g.high = min(g.low, v), max(g.high, v)
		}
		found[r] = e
	}
	return variances, found
}

// criticalValue is the 95 % point of the largest comparison of product j.
func criticalValue(s []standing, j int, draws [][]float64, variances []float64, groups [][]extremes) float64 {
	largest := make([]float64, len(draws))
	own := s[j].variance()
	if variances != nil {
		for r, row := range draws {
			for g, e := range groups[r] {
				largest[r] = max(largest[r], max(e.high-row[j], row[j]-e.low)/math.Sqrt(own+variances[g]))
			}
		}
		return num.Quantile(largest, confidence)
	}
	weights := make([]float64, len(s))
	for k := range s {
		weights[k] = 1 / apart(s[j], s[k])
	}
	for r, row := range draws {
		most := 0.0
		for k, v := range row {
			if d := math.Abs(v-row[j]) * weights[k]; d > most {
				most = d
			}
		}
		largest[r] = most
	}
	return num.Quantile(largest, confidence)
}

// wanted lists the products that get a range: all, or the two ends.
func wanted(s []standing) []int {
	order := make([]int, len(s))
	for i := range order {
		order[i] = i
	}
	if len(s) <= rankAll {
		return order
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case s[a].value > s[b].value:
			return -1
		case s[a].value < s[b].value:
			return 1
		}
		return 0
	})
	return slices.Concat(order[:rankEnds], order[len(order)-rankEnds:])
}
