package hedonic

import (
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/combin"
)

const (
	// noContents is the prior weight of no content having an effect, relative to
	// that of any other number of contents.
	noContents = 4.0
	// leastChance is the probability, relative to that of the likeliest subset,
	// below which a subset is left out.
	leastChance = 0.003
	// leastVariance, in units of scale², keeps the covariance definite for a
	// coefficient that is zero in all subsets kept.
	leastVariance = 1e-6
	// shownClearly is the number of standard errors from which a lower price for
	// more contents is accepted. With four contents, one log in two hundred shows
	// one by chance.
	shownClearly = 3.0
)

// effects are the prior standard deviations tried for the coefficient of a
// standardised content, in units of the scale.
var effects = [...]float64{0.2, 0.5, 1}

// subset is a model: which contents have an effect, and the prior of its size.
type subset struct {
	contents uint    // one bit per content
	hold     float64 // prior precision of the coefficients, 1/effect²
	weight   float64
}

// subsets averages a regression over the subsets of contents.
type subsets struct {
	*normalEquations         // of the columns of contents, after eliminating the other terms
	rows             float64 // number of rows less the terms without a prior
	first            []int   // by content: its first column; then the number of columns
	least            float64 // lower limit of the residual sum of squares
	more             []int   // by column, as Market.More
	scale            float64

	tried []subset
	// The state of walk: the columns in the present subset, the rows of their
	// Cholesky factor, and the right-hand side solved with it.
	columns   []int
	factor, z []float64

	solvers []*cholesky // by number of columns
	inner   []float64   // workspace of solve
}

// newSubsets prepares the average; content gives the content of each column.
func newSubsets(c *normalEquations, rows, scale float64, content, more []int) *subsets {
	s := &subsets{normalEquations: c, rows: rows, scale: scale, more: more, least: rows * leastScale * leastScale, factor: make([]float64, c.n*c.n), z: make([]float64, c.n)}
	for j, g := range content {
		if g == len(s.first) {
			s.first = append(s.first, j)
		}
	}
	s.first = append(s.first, len(content))
	return s
}

func (s *subsets) contents() int { return len(s.first) - 1 }

// weigh evaluates all subsets and sets their weights: the marginal likelihood, with
// coefficients normal about 0 and the scale unknown, times the prior. In the prior
// all numbers of contents are equally likely, except none (see noContents), and so
// are all subsets of the same number, which corrects for the number of contents
// tried (J. G. Scott and J. O. Berger (2010), Ann. Stat. 38, 2587-2619, from
// memory). A subset in which more contents lower the price, but not clearly, gets
// weight 0.
func (s *subsets) weigh() error {
	s.tried = append(s.tried[:0], subset{weight: math.Log(noContents) + s.likelihood(1, 0)})
	for _, e := range effects {
		s.walk(0, 0, 1/(e*e), 1, 0)
	}
	weights := make([]float64, len(s.tried))
	for k, t := range s.tried {
		weights[k] = t.weight
	}
	most := math.Inf(-1)
	for _, k := range byFalling(weights) { // subsets too unlikely to count need not be solved
		t := &s.tried[k]
		if t.weight-most < math.Log(leastChance) {
			break
		}
		sensible, err := s.sensible(t)
		if err != nil {
			return err
		}
		if !sensible {
			weights[k] = math.Inf(-1)
			continue
		}
		most = math.Max(most, t.weight)
	}
	total := 0.0
	for k, v := range weights {
		w := math.Exp(v - most)
		if w < leastChance {
			w = 0
		}
		s.tried[k].weight = w
		total += w
	}
	for k := range s.tried {
		s.tried[k].weight /= total
	}
	return nil
}

// byFalling returns the indices of values in descending order of value.
func byFalling(values []float64) []int {
	order := make([]int, len(values))
	floats.ArgsortStable(slices.Clone(values), order)
	slices.Reverse(order)
	return order
}

// sensible solves a subset and reports whether more contents lower the price only
// where they do so clearly.
func (s *subsets) sensible(t *subset) (bool, error) {
	if t.contents == 0 {
		return true, nil
	}
	columns, coef, err := s.solve(t)
	if err != nil {
		return false, err
	}
	solver := s.solvers[len(columns)]
	inverted := false
	for x, j := range columns {
		if float64(s.more[j])*coef[x] >= 0 {
			continue
		}
		if !inverted {
			solver.invert()
			inverted = true
		}
		se := s.scale * math.Sqrt(solver.inverse[x*len(columns)+x])
		if math.Abs(coef[x]) < shownClearly*se {
			return false, nil
		}
	}
	return true, nil
}

// solve returns the columns of a subset and their coefficients; the Cholesky factor
// stays in s.solvers[len(columns)].
func (s *subsets) solve(t *subset) (columns []int, coef []float64, err error) {
	for g := range s.contents() {
		for j := s.first[g]; t.contents>>g&1 == 1 && j < s.first[g+1]; j++ {
			columns = append(columns, j)
		}
	}
	h, k := s.n, len(columns)
	if s.solvers == nil {
		s.solvers, s.inner = make([]*cholesky, h+1), make([]float64, h*h)
	}
	coef = make([]float64, k)
	for x, j := range columns {
		for y := x; y < k; y++ {
			s.inner[x*k+y] = s.a[j*h+columns[y]]
		}
		s.inner[x*k+x] += t.hold
		coef[x] = s.b[j]
	}
	if s.solvers[k] == nil {
		s.solvers[k] = newCholesky(k)
	}
	if err := s.solvers[k].of(s.inner); err != nil {
		return nil, nil, err
	}
	s.solvers[k].solve(coef)
	return columns, coef, nil
}

// likelihood returns the log marginal likelihood of a subset that explains the given
// part of the sum of squares, the determinant being that of its matrix relative to
// the prior's.
func (s *subsets) likelihood(determinant, explained float64) float64 {
	return -math.Log(determinant)/2 - s.rows/2*math.Log(math.Max(s.yy-explained, s.least))
}

// walk evaluates all subsets that add contents from g on to those taken.
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

// takeIn adds column j to the Cholesky factor of the present subset and returns its
// squared pivot and its element of the solved right-hand side.
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

// average returns the mean and covariance of the coefficients over the subsets, the
// covariance in units of scale².
func (s *subsets) average() (mean, cov []float64, err error) {
	h := s.n
	mean, cov = make([]float64, h), make([]float64, h*h)
	for i := range s.tried {
		t := &s.tried[i]
		if t.weight == 0 || t.contents == 0 {
			continue
		}
		columns, coef, err := s.solve(t)
		if err != nil {
			return nil, nil, err
		}
		k := len(columns)
		c := s.solvers[k]
		c.invert()
		for x, j := range columns {
			mean[j] += t.weight * coef[x]
			for y, l := range columns {
				cov[j*h+l] += t.weight * (c.inverse[x*k+y] + coef[x]*coef[y]/(s.scale*s.scale))
			}
		}
	}
	for j := range h {
		for l := range h {
			cov[j*h+l] -= mean[j] * mean[l] / (s.scale * s.scale)
		}
		cov[j*h+j] += leastVariance
	}
	return mean, cov, nil
}
