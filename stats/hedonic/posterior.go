package hedonic

import "math"

// posterior is what rows say of the coefficients, with priors of all but the
// constant: normal equations, their solution, and its covariance in units of the
// squared scale.
type posterior struct {
	*normalEquations
	coef []float64
	cov  []float64 // n × n
}

// newPosterior turns the cross-products of all terms into what they say, where
// the first q terms are always in and which of the others are is averaged over:
// J. A. Hoeting, D. Madigan, A. E. Raftery and C. T. Volinsky (1999), Statistical
// Science 14, 382-417 (from memory). The average is kept as the normal
// distribution of the same mean and covariance, so that a few rows more or less
// follow in closed form. rows is the number of rows, content the content of each
// of the other columns and more its direction (see column).
func newPosterior(c *normalEquations, q int, rows float64, scale float64, content, more []int) (*posterior, error) {
	p := &posterior{normalEquations: newNormalEquations(c.n)}
	p.set(c)
	if c.n > q {
		if err := p.averageOver(q, rows, scale, content, more); err != nil {
			return nil, err
		}
	}
	all := newCholesky(c.n)
	if err := all.of(p.a); err != nil {
		return nil, err
	}
	all.invert()
	p.cov = all.inverse
	p.coef = append([]float64(nil), p.b...)
	all.solve(p.coef)
	return p, nil
}

// averageOver replaces what the rows say of the terms from q on by the average
// over which of them matter.
func (p *posterior) averageOver(q int, rows, scale float64, content, more []int) error {
	n, h := p.n, p.n-q
	always := newCholesky(q)
	inner := make([]float64, q*q)
	for j := range q {
		copy(inner[j*q:(j+1)*q], p.a[j*n:])
	}
	if err := always.of(inner); err != nil {
		return err
	}
	alone := append([]float64(nil), p.b[:q]...) // coefficients without the others
	always.solve(alone)

	// Clear the other terms of these.
	cleared := newNormalEquations(h)
	cleared.yy = p.yy
	for j, v := range alone {
		cleared.yy -= v * p.b[j]
	}
	shares := make([][]float64, h) // of each term always in, in each of the others
	for k := range h {
		g := make([]float64, q)
		for j := range g {
			g[j] = p.a[j*n+q+k]
		}
		always.solve(g)
		cleared.b[k] = p.b[q+k]
		for j, v := range g {
			cleared.b[k] -= v * p.b[j]
		}
		for l := k; l < h; l++ {
			v := p.a[(q+k)*n+q+l]
			for j, share := range g {
				v -= share * p.a[j*n+q+l]
			}
			cleared.a[k*h+l] = v
		}
		shares[k] = g
	}
	s := newSubsets(cleared, math.Max(rows-1, 1), scale, content, more)
	if err := s.weigh(); err != nil {
		return err
	}
	mean, cov, err := s.average()
	if err != nil {
		return err
	}

	// Normal equations with that mean and covariance.
	held := newCholesky(h)
	if err := held.of(cov); err != nil {
		return err
	}
	held.invert()
	coef := append(alone, mean...)
	for k := range h {
		for l := k; l < h; l++ {
			p.a[(q+k)*n+q+l] += held.inverse[k*h+l] - cleared.a[k*h+l]
		}
		for j, share := range shares[k] {
			coef[j] -= share * mean[k]
		}
	}
	for j := range p.b {
		p.b[j] = 0
		for k, v := range coef {
			p.b[j] += p.symmetric(j, k) * v
		}
	}
	return nil
}

// at returns the value expected for a row and its variance in units of scale².
func (p *posterior) at(row []float64) (fit, variance float64) {
	for j, x := range row {
		fit += x * p.coef[j]
		sum := 0.0
		for k, v := range p.cov[j*p.n : (j+1)*p.n] {
			sum += v * row[k]
		}
		variance += x * sum
	}
	return fit, math.Max(variance, 0)
}
