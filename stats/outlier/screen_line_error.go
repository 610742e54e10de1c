package outlier

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// lineError is how well a screened line is known.
type lineError struct {
	span *linear.Spanned
	cov  *mat.SymDense // of the line in the basis, in squared scales
}

// newLineError takes the covariance from the descriptions of the rows, and adds
// by how much the fit on kept rows has missed their mean; without them it is
// lineVariance times that of least squares.
func newLineError(b *linear.Basis, y []float64, kept []bool, m *mean) *lineError {
	e := &lineError{span: b.Span, cov: mat.NewSymDense(b.P, nil)}
	w := make([]float64, b.N)
	for i, keep := range kept {
		if keep {
			w[i] = 1
		}
	}
	gamma := make([]float64, b.P)
	solver := linear.NewWeighted(b)
	solved := solver.Solve(y, num.AllRows(b.N), w, gamma)
	switch {
	case m != nil:
		e.cov.CopySym(m.cov)
		if solved {
			for j := range gamma {
				gamma[j] = (gamma[j] - m.gamma[j]) / m.scale
			}
			e.cov.SymRankOne(e.cov, 1, mat.NewVecDense(b.P, gamma))
		}
	case solved:
		if err := solver.Chol.InverseTo(e.cov); err != nil {
			e.cov.Zero()
		}
		e.cov.ScaleSym(lineVariance, e.cov)
	}
	return e
}

// ofRow is the variance of the line, in squared scales, at a row of the basis.
func (e *lineError) ofRow(z []float64) float64 {
	sum := 0.0
	for a, za := range z {
		for c, zc := range z {
			sum += za * zc * e.cov.At(a, c)
		}
	}
	return math.Max(sum, 0)
}

// at is that variance at predictors x without the constant; NaN where x has the
// wrong length.
func (e *lineError) at(x []float64) float64 {
	if len(x) != len(e.span.Centre)-1 {
		return math.NaN()
	}
	return e.ofRow(e.span.Within(x).RawVector().Data)
}
