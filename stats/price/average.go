package price

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/stat/combin"
)

const (
	// noContents is the prior weight of no content mattering, in units of that of
	// any other number of contents; contents need some proof.
	noContents = 4.0
	// leastChance, in units of the likeliest subset's, is the chance below which a
	// subset is left out.
	leastChance = 0.003
	// leastVariance keeps a coefficient that no subset believes in from being
	// known exactly.
	leastVariance = 1e-6
)

// effects are the prior standard deviations tried for what a standard deviation
// of a content does to the log price, in units of the scale.
var effects = [...]float64{0.2, 0.5, 1}

// subset says which contents matter, and how much they may.
type subset struct {
	contents uint    // a bit each
	hold     float64 // inverse square of the effect
	weight   float64
}

// subsets averages a regression over which contents matter.
type subsets struct {
	*cross         // of the columns of contents, cleared of the other terms
	rows   float64 // behind it, less the terms without a prior
	first  []int   // by content: its first column; then the number of columns
	least  float64 // sum of squares that is always left

	tried []subset
	// The walk's state: columns taken in so far, rows of their Cholesky factor and
	// the right side solved with it.
	columns   []int
	factor, z []float64
}

// newSubsets prepares the average; content says by column which content it is.
func newSubsets(c *cross, rows float64, content []int) *subsets {
	s := &subsets{cross: c, rows: rows, least: rows * leastScale * leastScale, factor: make([]float64, c.n*c.n), z: make([]float64, c.n)}
	for j, g := range content {
		if g == len(s.first) {
			s.first = append(s.first, j)
		}
	}
	s.first = append(s.first, len(content))
	return s
}

func (s *subsets) contents() int { return len(s.first) - 1 }

// weigh tries all subsets and sets their weights: the marginal likelihood with
// coefficients normal about 0 and the scale unknown, times the prior, in which
// all numbers of contents are alike (but for none) and all subsets of a number:
// the more contents there are, the more proof each of them needs (J. G. Scott and
// J. O. Berger (2010), Ann. Stat. 38, 2587-2619, from memory).
func (s *subsets) weigh() {
	s.tried = append(s.tried[:0], subset{weight: math.Log(noContents) + s.likelihood(1, 0)})
	for _, e := range effects {
		s.walk(0, 0, 1/(e*e), 1, 0)
	}
	most := math.Inf(-1)
	for _, t := range s.tried {
		most = math.Max(most, t.weight)
	}
	total := 0.0
	for k := range s.tried {
		w := math.Exp(s.tried[k].weight - most)
		if w < leastChance {
			w = 0
		}
		s.tried[k].weight = w
		total += w
	}
	for k := range s.tried {
		s.tried[k].weight /= total
	}
}

// likelihood is the log of the marginal likelihood where the columns taken in
// explain so much of the squares and have that determinant, relative to their
// prior's.
func (s *subsets) likelihood(determinant, explained float64) float64 {
	return -math.Log(determinant)/2 - s.rows/2*math.Log(math.Max(s.yy-explained, s.least))
}

// walk tries what the contents from g on can be added to those taken in.
func (s *subsets) walk(g int, taken uint, hold, determinant, explained float64) {
	if g == s.contents() {
		return
	}
	s.walk(g+1, taken, hold, determinant, explained)
	before := len(s.columns)
	for j := s.first[g]; j < s.first[g+1]; j++ {
		pivot, z := s.takeIn(j, hold)
		determinant *= pivot / hold
		explained += z * z
	}
	taken |= 1 << g
	prior := -math.Log(float64(combin.Binomial(s.contents(), bits.OnesCount(taken)) * len(effects)))
	s.tried = append(s.tried, subset{contents: taken, hold: hold, weight: prior + s.likelihood(determinant, explained)})
	s.walk(g+1, taken, hold, determinant, explained)
	s.columns = s.columns[:before]
}

// takeIn adds a column to the Cholesky factor of those taken in and returns the
// square of its pivot and its right side.
func (s *subsets) takeIn(j int, hold float64) (pivot, z float64) {
	n, d := s.n, len(s.columns)
	row := s.factor[d*n : d*n+d+1]
	pivot, z = s.a[j*n+j]+hold, s.b[j]
	for k, column := range s.columns {
		v := s.a[column*n+j]
		for t, x := range s.factor[k*n : k*n+k] {
			v -= x * row[t]
		}
		v /= s.factor[k*n+k]
		row[k] = v
		pivot -= v * v
		z -= v * s.z[k]
	}
	row[d] = math.Sqrt(pivot) // at least the root of hold
	z /= row[d]
	s.z[d] = z
	s.columns = append(s.columns, j)
	return pivot, z
}

// average returns mean and covariance of the coefficients over the subsets, the
// covariance in units of scale².
func (s *subsets) average(scale float64) (mean, cov []float64, err error) {
	h := s.n
	mean, cov = make([]float64, h), make([]float64, h*h)
	inner, solvers := make([]float64, h*h), make([]*cholesky, h+1)
	var columns []int
	for _, t := range s.tried {
		if t.weight == 0 || t.contents == 0 {
			continue
		}
		columns = columns[:0]
		for g := range s.contents() {
			for j := s.first[g]; t.contents>>g&1 == 1 && j < s.first[g+1]; j++ {
				columns = append(columns, j)
			}
		}
		k := len(columns)
		b := make([]float64, k)
		for x, j := range columns {
			for y := x; y < k; y++ {
				inner[x*k+y] = s.a[j*h+columns[y]]
			}
			inner[x*k+x] += t.hold
			b[x] = s.b[j]
		}
		if solvers[k] == nil {
			solvers[k] = newCholesky(k)
		}
		c := solvers[k]
		if err := c.of(inner); err != nil {
			return nil, nil, err
		}
		c.solve(b)
		c.invert()
		for x, j := range columns {
			mean[j] += t.weight * b[x]
			for y, l := range columns {
				cov[j*h+l] += t.weight * (c.inverse[x*k+y] + b[x]*b[y]/(scale*scale))
			}
		}
	}
	for j := range h {
		for l := range h {
			cov[j*h+l] -= mean[j] * mean[l] / (scale * scale)
		}
		cov[j*h+j] += leastVariance
	}
	return mean, cov, nil
}
