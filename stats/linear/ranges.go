package linear

import (
	"math"

	"pleatstat/stats/num"
)

// Interval returns the range of coefficient j (index into Names) at the given
// confidence (0.95 = 95 %), from Student's t; NaN for a confidence outside
// (0, 1).
func (f *Fit) Interval(j int, confidence float64) (low, high float64) {
	half := num.StudentQuantile(float64(f.DF), confidence) * f.SE[j]
	return f.Coef[j] - half, f.Coef[j] + half
}

// At returns the fitted value and the leverage of a row with predictors x; NaN
// where x has the wrong length or LeastSquares did not make f.
func (f *Fit) At(x []float64) (fit, leverage float64) {
	if f.span == nil || len(x) != len(f.span.Centre)-1 {
		return math.NaN(), math.NaN()
	}
	var sum num.DoubleDouble
	k := len(f.Coef) - len(x)
	if k == 1 {
		sum = num.DoubleDouble{Hi: f.Coef[0], Lo: 0}
	}
	for j, v := range x {
		sum = sum.Add(num.DoubleDouble{Hi: f.Coef[k+j], Lo: 0}.MulFloat(v))
	}
	return sum.Value(), f.span.distance(x)
}

// PredictionSE returns the value fitted at predictors x (without the constant)
// and the standard error of one new response there: ResidualSD·√(1+h). Both are
// NaN where x has the wrong length or LeastSquares did not make f.
func (f *Fit) PredictionSE(x []float64) (fit, se float64) {
	fit, h := f.At(x)
	return fit, f.ResidualSD * math.Sqrt(1+h)
}

// PredictionRange returns the value fitted at predictors x (without the
// constant) and the range in which one new response lies with the given
// confidence. NaN as for PredictionSE and Interval.
func (f *Fit) PredictionRange(x []float64, confidence float64) (fit, low, high float64) {
	fit, se := f.PredictionSE(x)
	half := num.StudentQuantile(float64(f.DF), confidence) * se
	return fit, fit - half, fit + half
}

// PredictionRanges is PredictionRange for every row of predictors given as
// columns of equal length, Student's t being looked up once.
func (f *Fit) PredictionRanges(columns [][]float64, confidence float64) (fit, low, high []float64) {
	n := 0
	if len(columns) > 0 {
		n = len(columns[0])
	}
	fit, low, high = make([]float64, n), make([]float64, n), make([]float64, n)
	quantile := num.StudentQuantile(float64(f.DF), confidence)
	x := make([]float64, len(columns))
	for i := range n {
		for j, c := range columns {
			x[j] = c[i]
		}
		at, se := f.PredictionSE(x)
		half := quantile * se
		fit[i], low[i], high[i] = at, at-half, at+half
	}
	return fit, low, high
}

// MeanRange returns the value fitted at predictors x (without the constant) and
// the range of the mean response there. NaN as for PredictionSE and Interval.
func (f *Fit) MeanRange(x []float64, confidence float64) (fit, low, high float64) {
	fit, h := f.At(x)
	half := num.StudentQuantile(float64(f.DF), confidence) * f.ResidualSD * math.Sqrt(h)
	return fit, fit - half, fit + half
}
