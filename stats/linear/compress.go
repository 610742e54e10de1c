package linear

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/num"
)

// exactFit is the residual standard deviation, relative to the largest response,
// up to which the residuals are only the rounding of the response.
const exactFit = 4e-16

// leverageOne is the leverage from which on a row alone determines a coefficient.
const leverageOne = 1 - 1e-10

// deletedFloor is the smallest residual sum of squares without a row, as a share
// of the sum with it; below it is rounding.
const deletedFloor = 1e-15

// setRows sets Fitted and Residuals and returns the residual sum of squares of
// the scaled response.
func (f *Fit) setRows(s *standard, coef []num.DoubleDouble) num.DoubleDouble {
	f.Fitted = make([]float64, s.rows)
	f.Residuals = make([]float64, s.rows)
	y := s.columns[len(s.columns)-1]
	scale := s.factor[len(s.factor)-1]
	var squares num.DoubleDouble
	row := make([]num.DoubleDouble, s.terms+1)
	for i := range s.rows {
		s.row(i, row)
		r := row[s.terms]
		for j, b := range coef {
			r = r.Sub(b.Mul(row[j]))
		}
		squares = squares.Add(r.Mul(r))
		f.Residuals[i] = r.Value() / scale
		f.Fitted[i] = y[i] - f.Residuals[i]
	}
	return squares
}

// setCoefficients converts the standardised solution to the units of the columns.
func (f *Fit) setCoefficients(s *standard, solved refined, squares num.DoubleDouble) {
	p, k := s.terms, s.offset()
	response := len(s.columns) - 1
	variance := squares.DivFloat(float64(f.DF))
	sd := math.Sqrt(variance.Value())
	f.ResidualSD = sd / s.factor[response]

	// Scale factors of the terms; that of the intercept is 1.
	unit := make([]float64, p)
	for j := range p {
		unit[j] = 1
		if j >= k {
			unit[j] = s.factor[j-k]
		}
	}
	coef := append([]num.DoubleDouble(nil), solved.coef...)
	inverse := solved.inverse
	if s.intercept {
		coef[0] = coef[0].AddFloat(s.centre[response])
		for j := 1; j < p; j++ {
			coef[0] = coef[0].Sub(coef[j].MulFloat(s.centre[j-1]))
		}
		inverse = s.shifted(inverse)
	}
	f.Coef = make([]float64, p)
	f.SE = make([]float64, p)
	f.Cov = mat.NewSymDense(p, nil)
	for a := range p {
		f.Coef[a] = coef[a].Value() * (unit[a] / s.factor[response])
		f.SE[a] = math.Sqrt(variance.Mul(inverse[a][a]).Value()) * (unit[a] / s.factor[response])
		for b := a; b < p; b++ {
			f.Cov.SetSym(a, b, sd*unit[a]/s.factor[response]*sd*unit[b]/s.factor[response]*inverse[a][b].Value())
		}
	}
}

// shifted returns the inverse cross-product matrix of the columns before
// centring: T·inverse·Tᵀ, where T is the identity with its first row replaced by
// 1, -centre….
func (s *standard) shifted(inverse [][]num.DoubleDouble) [][]num.DoubleDouble {
	p := s.terms
	out := make([][]num.DoubleDouble, p)
	for a := range p {
		out[a] = append([]num.DoubleDouble(nil), inverse[a]...)
	}
	for b := range p { // T·inverse
		for j := 1; j < p; j++ {
			out[0][b] = out[0][b].Sub(inverse[j][b].MulFloat(s.centre[j-1]))
		}
	}
	first := out[0][0]
	for j := 1; j < p; j++ { // ·Tᵀ
		first = first.Sub(out[0][j].MulFloat(s.centre[j-1]))
	}
	out[0][0] = first
	for a := 1; a < p; a++ {
		out[a][0] = out[0][a]
	}
	return out
}

func (f *Fit) setRSquared(s *standard, normal [][]num.DoubleDouble, squares num.DoubleDouble) {
	p := s.terms
	total := normal[p][p]
	if s.intercept { // the centre is the rounded mean: correct for the remainder
		left := normal[0][p]
		total = total.Sub(left.Mul(left).DivFloat(float64(s.rows)))
	}
	f.RSquared = math.NaN()
	if total.Hi > 0 {
		f.RSquared = total.Sub(squares).Value() / total.Value()
	}
}

// setInfluence sets Leverage, Deleted and Cook (Cook and Weisberg, Residuals and
// Influence in Regression, 1982, ch. 2 and 3).
func (f *Fit) setInfluence(s *standard, squares num.DoubleDouble) {
	z := s.matrix().RawMatrix()
	blas64.Trmm(blas.Right, blas.NoTrans, 1, f.span.inverse.RawTriangular(), z)
	f.Leverage = make([]float64, s.rows)
	f.Deleted = make([]float64, s.rows)
	f.Cook = make([]float64, s.rows)
	scale := s.factor[len(s.factor)-1]
	total := squares.Value()
	variance := total / float64(f.DF)
	exact := math.Sqrt(variance) <= exactFit // the scaled response is at most 1
	for i := range s.rows {
		h := 0.0
		for _, q := range z.Data[i*z.Stride : i*z.Stride+s.terms] {
			h += q * q
		}
		h = math.Min(h, 1)
		f.Leverage[i] = h
		if exact || h >= leverageOne || f.DF < 2 {
			continue
		}
		r := f.Residuals[i] * scale
		own := r * r / (1 - h)
		others := math.Max(total-own, deletedFloor*total) / float64(f.DF-1)
		f.Deleted[i] = r / math.Sqrt(others*(1-h))
		f.Cook[i] = own / variance * h / (1 - h) / float64(s.terms)
	}
}
