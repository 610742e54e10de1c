package linear

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// SmallestPivot is the reciprocal condition below which some weighted rows, in
// the orthonormal basis, no longer determine the fit.
const SmallestPivot = 1e-10

// Basis is a design rewritten in orthogonal columns of mean square 1, the constant
// first and positive where there is one, so that weighted normal equations in it
// are as well conditioned as the weights allow.
type Basis struct {
	Names []string   // of the design's columns, the constant's first
	N, P  int        // rows; columns
	Z     []float64  // N rows of P values
	back  *mat.Dense // p x p: coefficients of the design = back · coefficients in the basis
	span  *spanned   // maps a row of the design to one of the basis
}

// NewBasis checks a design and response and orthonormalises the columns by QR.
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
	// Undo scaling and centring: with u = x·factor - centre a coefficient of u is
	// factor times as large on x, and takes its centre from the intercept.
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

// Row is one row of the basis.
func (b *Basis) Row(i int) []float64 { return b.Z[i*b.P : (i+1)*b.P] }

// At is the row of the basis that predictors x, one a column of the design, come to.
func (b *Basis) At(x []float64) []float64 { return b.span.within(x).RawVector().Data }

// Residuals writes y minus the fit of gamma into r for the given rows.
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

// Coefficients maps coefficients in the basis to those of the design.
func (b *Basis) Coefficients(gamma []float64) []float64 {
	out := make([]float64, b.P)
	mat.NewVecDense(b.P, out).MulVec(b.back, mat.NewVecDense(b.P, gamma))
	return out
}

// Covariance maps a covariance in the basis to that of the design.
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

// Weighted solves weighted least squares in the basis over some rows.
type Weighted struct {
	b    *Basis
	gram *mat.SymDense
	rhs  *mat.VecDense
	out  *mat.VecDense
	Chol mat.Cholesky
}

// NewWeighted prepares weighted least squares in a basis.
func NewWeighted(b *Basis) *Weighted {
	return &Weighted{b: b, gram: mat.NewSymDense(b.P, nil), rhs: mat.NewVecDense(b.P, nil), out: mat.NewVecDense(b.P, nil)}
}

// Solve writes the weighted least squares coefficients into gamma; false where
// the weighted rows do not determine them.
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

// lineSums is the sums of solve for two columns.
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
