package hedonic

import (
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/floats"
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
	// shownClearly is the number of standard errors from which a log is believed
	// that more inside goes with a lower price. With four contents one log in two
	// hundred shows that by chance.
	shownClearly = 3.0
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
	*normalEquations         // of the columns of contents, cleared of the other terms
	rows             float64 // behind it, less the terms without a prior
	first            []int   // by content: its first column; then the number of columns
	least            float64 // sum of squares that is always left
	more             []int   // by column: 1 = a higher value is more inside, -1 = less, 0 = neither
	scale            float64

	tried []subset
	// The walk's state: columns taken in so far, rows of their Cholesky factor and
	// the right side solved with it.
	columns   []int
	factor, z []float64

	solvers []*cholesky // by number of columns
	inner   []float64   // scratch of solve
}

// newSubsets prepares the average; content says by column which content it is.
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

// weigh tries all subsets and sets their weights: the marginal likelihood with
// coefficients normal about 0 and the scale unknown, times the prior, in which
// all numbers of contents are alike (but for none) and all subsets of a number:
// the more contents there are, the more proof each of them needs (J. G. Scott and
// J. O. Berger (2010), Ann. Stat. 38, 2587-2619, from memory). A subset by which
// more inside lowers the price, and not clearly so, is none.
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
	for _, k := range byFalling(weights) { // those too unlikely to count need no solution
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

// byFalling lists places by falling values.
func byFalling(values []float64) []int {
	order := make([]int, len(values))
	floats.ArgsortStable(slices.Clone(values), order)
	slices.Reverse(order)
	return order
}

// sensible solves a subset and reports whether by it more inside does not lower
// the price, or clearly does.
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

// solve returns the columns of a subset and their coefficients; its solver keeps
// the factor.
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
