package linear

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/num"
)

// standard is a design and its response with every column scaled by a power of
// two to at most 1 and, with an intercept, centred. Neither step rounds: an
// element is the DoubleDouble x·factor - centre. The response is the last column;
// the constant column is not stored.
type standard struct {
	*spanned
	columns   [][]float64 // predictors and response as given
	rows      int
	terms     int      // number of coefficients
	names     []string // of the coefficients; set by factored
	condition float64  // set by factored
}

// spanned is the part of a design that predictions need.
type spanned struct {
	factor    []float64 // power of two, per column
	centre    []float64 // rounded mean of the scaled column; 0 without an intercept
	intercept bool
	inverse   *mat.TriDense // R⁻¹; set by factored
}

func standardise(d Design, y []float64) *standard {
	s := &standard{
		spanned: &spanned{intercept: !d.NoIntercept},
		columns: append(append([][]float64(nil), d.Columns...), y),
		rows:    len(y),
		terms:   len(d.Columns),
	}
	if s.intercept {
		s.terms++
	}
	s.factor = make([]float64, len(s.columns))
	s.centre = make([]float64, len(s.columns))
	for j, c := range s.columns {
		s.factor[j] = powerOfTwo(-num.ExponentOf(c))
		if !s.intercept {
			continue
		}
		var sum num.DoubleDouble
		for _, v := range c {
			sum = sum.AddFloat(v * s.factor[j])
		}
		s.centre[j] = sum.Value() / float64(s.rows)
	}
	return s
}

// powerOfTwo returns 2^e, with e limited to keep within the range of double
// precision.
func powerOfTwo(e int) float64 { return math.Ldexp(1, max(-1000, min(1000, e))) }

// offset returns the number of terms before the first stored column.
func (s *standard) offset() int {
	if s.intercept {
		return 1
	}
	return 0
}

// row sets dst, of length terms+1, to row i with the constant and the response.
func (s *standard) row(i int, dst []num.DoubleDouble) {
	k := s.offset()
	if k == 1 {
		dst[0] = num.DoubleDouble{Hi: 1, Lo: 0}
	}
	for j, c := range s.columns {
		dst[k+j] = num.TwoSum(c[i]*s.factor[j], -s.centre[j])
	}
}

// matrix returns the standardised predictors with the constant, rounded to float64.
func (s *standard) matrix() *mat.Dense {
	data := make([]float64, s.rows*s.terms)
	k := s.offset()
	for i := range s.rows {
		row := data[i*s.terms : (i+1)*s.terms]
		if k == 1 {
			row[0] = 1
		}
		for j := k; j < s.terms; j++ {
			row[j] = s.columns[j-k][i]*s.factor[j-k] - s.centre[j-k]
		}
	}
	return mat.NewDense(s.rows, s.terms, data)
}

// triangle returns the factor R of the Householder QR of the predictors.
func (s *standard) triangle() *mat.TriDense {
	a := triangular(s.matrix().RawMatrix())
	r := mat.NewTriDense(s.terms, mat.Upper, nil)
	for i := range s.terms {
		for j := i; j < s.terms; j++ {
			r.SetTri(i, j, a.Data[i*a.Stride+j])
		}
	}
	return r
}

// triangular overwrites a with its Householder QR factorisation and returns it; R
// is in the upper triangle. It calls LAPACK directly because mat.QR would also
// build the n×n orthogonal factor.
func triangular(a blas64.General) blas64.General {
	tau, work := make([]float64, min(a.Rows, a.Cols)), []float64{0}
	lapack64.Geqrf(a, tau, work, -1)
	work = make([]float64, int(work[0]))
	lapack64.Geqrf(a, tau, work, len(work))
	return a
}

// crossProducts returns the upper triangle of the cross-product matrix of all
// columns, the response last, in double-double arithmetic.
func (s *standard) crossProducts() [][]num.DoubleDouble {
	m := s.terms + 1
	g := make([][]num.DoubleDouble, m)
	for a := range g {
		g[a] = make([]num.DoubleDouble, m)
	}
	row := make([]num.DoubleDouble, m)
	for i := range s.rows {
		s.row(i, row)
		for a := range m {
			for b := a; b < m; b++ {
				g[a][b] = g[a][b].Add(row[a].Mul(row[b]))
			}
		}
	}
	return g
}

// factored checks a design and a response, and standardises and factors them.
func factored(d Design, y []float64) (*standard, error) {
	names, err := d.check(y)
	if err != nil {
		return nil, err
	}
	s := standardise(d, y)
	r := s.triangle()
	s.names, s.inverse = names, &mat.TriDense{}
	if s.condition, err = s.rank(r); err != nil {
		return nil, err
	}
	return s, s.inverse.InverseTri(r)
}

// distance returns the leverage of a row with predictors x: the squared length of
// R⁻ᵀz, z being x standardised.
func (b *spanned) distance(x []float64) float64 {
	w := b.within(x)
	return blas64.Dot(w.RawVector(), w.RawVector())
}

// within returns R⁻ᵀz, z being x standardised.
func (b *spanned) within(x []float64) *mat.VecDense {
	z := make([]float64, 0, len(x)+1)
	if b.intercept {
		z = append(z, 1)
	}
	for j, v := range x {
		z = append(z, v*b.factor[j]-b.centre[j])
	}
	w := mat.NewVecDense(len(z), z)
	w.MulVec(b.inverse.T(), w)
	return w
}
