package hedonic

import "math"

// posterior is the normal posterior of the coefficients, with priors on all except
// the constant: normal equations, their solution, and its covariance in units of
// scale².
type posterior struct {
	*normalEquations
	coef []float64
	cov  []float64 // n × n
}

// newPosterior returns the posterior given the normal equations of all terms. The
// first q terms are always in the model; over subsets of the others it averages
// (Bayesian model averaging: J. A. Hoeting, D. Madigan, A. E. Raftery and C. T.
// Volinsky (1999), Statistical Science 14, 382-417, from memory). The average is
// replaced by the normal distribution with the same mean and covariance, so that a
// few rows can be added or removed in closed form. rows is the number of rows;
// content and more are as in Market.
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

// averageOver replaces the normal equations by those whose solution and covariance
// are the averages over subsets of the terms from q on.
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
	alone := append([]float64(nil), p.b[:q]...) // coefficients of the first q terms without the others
	always.solve(alone)

	// Eliminate the first q terms from the equations of the others.
	cleared := newNormalEquations(h)
	cleared.yy = p.yy
	for j, v := range alone {
		cleared.yy -= v * p.b[j]
	}
	shares := make([][]float64, h) // regression of each of the other terms on the first q
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

	// Normal equations that give this mean and covariance.
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

// at returns the expectation for a row and its variance in units of scale².
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
