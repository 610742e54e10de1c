package linear

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// SmallestPivot is the reciprocal condition number below which weighted rows, in
// the orthogonal basis, are taken not to determine the fit.
const SmallestPivot = 1e-10

// Basis is a design rewritten in orthogonal columns of mean square 1, so that
// weighted normal equations in it are as well conditioned as the weights allow.
// With an intercept the first column is the constant 1.
type Basis struct {
	Names []string   // of the coefficients of the design, the intercept first
	N, P  int        // rows; columns
	Z     []float64  // N×P, by rows
	back  *mat.Dense // P×P: coefficients of the design = back · coefficients of the basis
	span  *spanned   // maps a row of the design to one of the basis
}

// NewBasis checks a design and a response and orthogonalises the columns by QR.
// Its errors are those of LeastSquares.
func NewBasis(d Design, y []float64) (*Basis, error) {
	s, err := factored(d, y)
	if err != nil {
		return nil, err
	}
	n, p, inverse := s.rows, s.terms, s.inverse
	// The sign makes the constant's column positive.
	inverse.ScaleTri(math.Copysign(math.Sqrt(float64(n)), inverse.At(0, 0)), inverse)
	var z mat.Dense
	z.Mul(s.matrix(), inverse)
	b := &Basis{Names: s.names, N: n, P: p, Z: z.RawMatrix().Data, back: mat.NewDense(p, p, nil), span: s.spanned}
	// Undo scaling and centring: for u = x·factor - centre, a coefficient b of u is
	// the coefficient b·factor of x and subtracts b·centre from the intercept.
	for k := range p {
		for c := k; c < p; c++ {
			v := inverse.At(k, c)
			if j := k - s.offset(); j >= 0 {
				b.back.Set(k, c, v*s.factor[j])
				if s.intercept {
					b.back.Set(0, c, b.back.At(0, c)-v*s.centre[j])
				}
			} else {
				b.back.Set(0, c, b.back.At(0, c)+v)
			}
		}
	}
	return b, nil
}

// Row returns row i of the basis, not a copy.
func (b *Basis) Row(i int) []float64 { return b.Z[i*b.P : (i+1)*b.P] }

// At returns the row of the basis for predictors x, one value for each column of
// the design.
func (b *Basis) At(x []float64) []float64 { return b.span.within(x).RawVector().Data }

// Residuals sets r[k] to y minus the fit with coefficients gamma of the basis, at
// row rows[k].
func (b *Basis) Residuals(gamma, y []float64, rows []int, r []float64) {
	if b.P == 2 {
		g0, g1 := gamma[0], gamma[1]
		for k, i := range rows {
			r[k] = y[i] - g0*b.Z[2*i] - g1*b.Z[2*i+1]
		}
		return
	}
	for k, i := range rows {
		v := y[i]
		for j, z := range b.Row(i) {
			v -= gamma[j] * z
		}
		r[k] = v
	}
}

// Coefficients converts coefficients of the basis to those of the design.
func (b *Basis) Coefficients(gamma []float64) []float64 {
	out := make([]float64, b.P)
	mat.NewVecDense(b.P, out).MulVec(b.back, mat.NewVecDense(b.P, gamma))
	return out
}

// Covariance converts a covariance of the coefficients of the basis to that of the
// coefficients of the design.
func (b *Basis) Covariance(in mat.Matrix) *mat.SymDense {
	var half, full mat.Dense
	half.Mul(b.back, in)
	full.Mul(&half, b.back.T())
	out := mat.NewSymDense(b.P, nil)
	for i := range b.P {
		for j := i; j < b.P; j++ {
			out.SetSym(i, j, (full.At(i, j)+full.At(j, i))/2)
		}
	}
	return out
}

// Weighted solves weighted least squares in a basis. It reuses its workspace, so
// it is not safe for concurrent use.
type Weighted struct {
	b    *Basis
	gram *mat.SymDense
	rhs  *mat.VecDense
	out  *mat.VecDense
	Chol mat.Cholesky
}

// NewWeighted returns a solver for the basis b.
func NewWeighted(b *Basis) *Weighted {
	return &Weighted{b: b, gram: mat.NewSymDense(b.P, nil), rhs: mat.NewVecDense(b.P, nil), out: mat.NewVecDense(b.P, nil)}
}

// Solve sets gamma to the weighted least-squares coefficients over the given
// rows, w[k] being the weight of row rows[k]. It returns false if the weighted
// rows do not determine them.
func (s *Weighted) Solve(y []float64, rows []int, w, gamma []float64) bool {
	p := s.b.P
	g := s.gram.RawSymmetric().Data
	h := s.rhs.RawVector().Data
	clear(g)
	clear(h)
	if p == 2 {
		s.lineSums(y, rows, w)
		rows = nil
	}
	for k, i := range rows {
		wi := w[k]
		if wi == 0 {
			continue
		}
		z := s.b.Z[i*p : (i+1)*p]
		for a, za := range z {
			v := wi * za
			h[a] += v * y[i]
			for c := a; c < p; c++ {
				g[a*p+c] += v * z[c]
			}
		}
	}
	if !s.Chol.Factorize(s.gram) || s.Chol.Cond() > 1/SmallestPivot {
		return false
	}
	if err := s.Chol.SolveVecTo(s.out, s.rhs); err != nil {
		return false
	}
	copy(gamma, s.out.RawVector().Data)
	return true
}

// lineSums computes the sums of Solve for a basis of two columns.
func (s *Weighted) lineSums(y []float64, rows []int, w []float64) {
	var g00, g01, g11, h0, h1 float64
	z := s.b.Z
	for k, i := range rows {
		z0, z1 := z[2*i], z[2*i+1]
		a, c := w[k]*z0, w[k]*z1
		g00 += a * z0
		g01 += a * z1
		g11 += c * z1
		h0 += a * y[i]
		h1 += c * y[i]
	}
	g, h := s.gram.RawSymmetric().Data, s.rhs.RawVector().Data
	g[0], g[1], g[3] = g00, g01, g11
	h[0], h[1] = h0, h1
}
