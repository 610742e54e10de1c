package hedonic

import (
	"errors"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// normalEquations are the normal equations a·coef = b of a weighted regression, with
// the sum of squares yy of the response. Terms are standardised or have priors,
// which limits the condition number, so that forming cross products loses no digits
// that matter.
type normalEquations struct {
	n  int
	a  []float64 // n × n, upper triangle
	b  []float64
	yy float64
}

func newNormalEquations(n int) *normalEquations {
	return &normalEquations{n: n, a: make([]float64, n*n), b: make([]float64, n)}
}

// set overwrites c with from, which must have the same size.
func (c *normalEquations) set(from *normalEquations) {
	copy(c.a, from.a)
	copy(c.b, from.b)
	c.yy = from.yy
}

// add adds a row with a weight; x holds its terms from index from on, the others
// being 0. A negative weight removes a row.
func (c *normalEquations) add(from int, x []float64, y, weight float64) {
	for j, v := range x {
		f := weight * v
		if f == 0 {
			continue
		}
		row := c.a[(from+j)*c.n+from:][:len(x)]
		for k := j; k < len(x); k++ {
			row[k] += f * x[k]
		}
		c.b[from+j] += f * y
	}
	c.yy += weight * y * y
}

// symmetric returns element j, k of the matrix.
func (c *normalEquations) symmetric(j, k int) float64 { return c.a[min(j, k)*c.n+max(j, k)] }

var errIndefinite = errors.New("prices: the regression has no solution") // the priors prevent this

// cholesky solves normal equations. It calls LAPACK directly because mat.Cholesky
// would also estimate the condition number of each of hundreds of small factors.
type cholesky struct {
	n       int
	factor  blas64.Triangular
	inverse []float64 // n × n, both triangles; set by invert
}

func newCholesky(n int) *cholesky {
	return &cholesky{n: n, factor: blas64.Triangular{Data: make([]float64, n*n)}, inverse: make([]float64, n*n)}
}

// of computes the factor of the matrix whose upper triangle is in a.
func (s *cholesky) of(a []float64) error {
	copy(s.factor.Data, a[:s.n*s.n])
	var ok bool
	s.factor, ok = lapack64.Potrf(blas64.Symmetric{Uplo: blas.Upper, N: s.n, Stride: s.n, Data: s.factor.Data})
	if !ok {
		return errIndefinite
	}
	return nil
}

// solve overwrites b with the solution.
func (s *cholesky) solve(b []float64) {
	v := blas64.Vector{N: s.n, Inc: 1, Data: b}
	blas64.Trsv(blas.Trans, s.factor, v)
	blas64.Trsv(blas.NoTrans, s.factor, v)
}

// square returns xᵀA⁻¹x and overwrites x.
func (s *cholesky) square(x []float64) float64 {
	v := blas64.Vector{N: s.n, Inc: 1, Data: x}
	blas64.Trsv(blas.Trans, s.factor, v)
	return blas64.Dot(v, v)
}

// invert computes inverse.
func (s *cholesky) invert() {
	copy(s.inverse, s.factor.Data)
	lapack64.Potri(blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: s.n, Stride: s.n, Data: s.inverse})
	for j := range s.n {
		for k := j + 1; k < s.n; k++ {
			s.inverse[k*s.n+j] = s.inverse[j*s.n+k]
		}
	}
}
