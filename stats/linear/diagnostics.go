package linear

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// influentialShare is the level of the joint confidence region of the
// coefficients: a row is influential if leaving it out moves them to its edge.
const influentialShare = 0.5

// BreuschPagan tests whether the variance of the residuals of f depends on the
// columns of d, in the studentised form of Koenker (1981), Journal of
// Econometrics 17, 107-112, which does not assume normal residuals: n·R² of the
// squared residuals on the columns, compared with χ². A small p is evidence of
// heteroscedasticity.
//
// Errors: those of LeastSquares, ErrNoSpread if the residuals are all of the same
// size or d has no column.
func BreuschPagan(f *Fit, d Design) (lm, p float64, err error) {
	explained, total, err := spreadSquares(f, d)
	if err != nil {
		return math.NaN(), math.NaN(), err
	}
	lm = float64(f.N) * explained / total
	return lm, chiSquaredP(lm, len(d.Columns)), nil
}

// spreadSquares regresses the squared residuals, divided by their mean, on the
// columns and returns the explained and the total sum of squares.
func spreadSquares(f *Fit, d Design) (explained, total float64, err error) {
	if len(d.Columns) == 0 {
		return 0, 0, num.ErrNoSpread
	}
	scale := math.Ldexp(1, num.ExponentOf(f.Residuals))
	squares := make([]float64, len(f.Residuals))
	for i, r := range f.Residuals {
		squares[i] = (r / scale) * (r / scale)
	}
	mean := num.Mean(squares)
	if !(mean > 0) {
		return 0, 0, num.ErrNoSpread
	}
	for i := range squares {
		squares[i] /= mean
	}
	d.NoIntercept = false
	spread, err := LeastSquares(d, squares)
	if err != nil {
		return 0, 0, err
	}
	for i, v := range squares {
		explained += (spread.Fitted[i] - 1) * (spread.Fitted[i] - 1)
		total += (v - 1) * (v - 1)
	}
	if total <= constantTolerance {
		return 0, 0, num.ErrNoSpread
	}
	return explained, total, nil
}

func chiSquaredP(x float64, df int) float64 {
	return distuv.ChiSquared{K: float64(df)}.Survival(x)
}

// Curvature tests whether the relation of y to x is curved. It returns the t value
// and the two-sided p-value of the quadratic term in a regression on x and x²; t
// is positive if the curve bends upwards, and infinite if y lies exactly on a
// parabola.
//
// Errors: those of LeastSquares (four rows and three different x are needed),
// ErrNoSpread if y lies exactly on a straight line.
func Curvature(x, y []float64) (t, p float64, err error) {
	nan := math.NaN()
	line, err := LeastSquares(Design{Names: []string{"x"}, Columns: [][]float64{x}}, y)
	if err != nil {
		return nan, nan, err
	}
	if line.exact(y) {
		return nan, nan, num.ErrNoSpread
	}
	mean, _, exponent := num.Moments(x)
	square := make([]float64, len(x))
	for i, v := range x {
		square[i] = math.Pow(math.Ldexp(v, -exponent)-mean.Value(), 2)
	}
	f, err := LeastSquares(Design{Names: []string{"x", "x squared"}, Columns: [][]float64{x, square}}, y)
	if err != nil {
		return nan, nan, err
	}
	if f.exact(y) {
		return math.Copysign(math.Inf(1), f.Coef[2]), 0, nil
	}
	t = f.Coef[2] / f.SE[2]
	return t, 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Survival(math.Abs(t)), nil
}

// exact reports whether the residuals are only the rounding of y.
func (f *Fit) exact(y []float64) bool {
	return f.ResidualSD <= exactFit*math.Ldexp(1, num.ExponentOf(y))
}

// Influential returns the rows, in ascending order, whose removal would move the
// coefficients to the edge of their 50 % joint confidence region or beyond:
// Cook's distance at least the median of F(p, n-p), the criterion of Cook (1977),
// Technometrics 19, 15-18. Rows of leverage 1, which alone determine a
// coefficient, are included.
func (f *Fit) Influential() []int {
	if f.DF < 1 {
		return nil
	}
	edge := distuv.F{D1: float64(len(f.Coef)), D2: float64(f.DF)}.Quantile(influentialShare)
	var rows []int
	for i, d := range f.Cook {
		if d >= edge || f.Leverage[i] >= leverageOne {
			rows = append(rows, i)
		}
	}
	return rows
}
