package linear

import (
	"math"

	"pleatstat/stats/num"
)

// Interval returns the confidence interval of coefficient j (index into Names),
// from Student's t; NaN for a confidence outside (0, 1).
func (f *Fit) Interval(j int, confidence float64) (low, high float64) {
	half := num.StudentQuantile(float64(f.DF), confidence) * f.SE[j]
	return f.Coef[j] - half, f.Coef[j] + half
}

// At returns the fitted value and the leverage of a row with predictors x; NaN if
// x has the wrong length or f does not come from LeastSquares.
func (f *Fit) At(x []float64) (fit, leverage float64) {
	if f.span == nil || len(x) != len(f.span.centre)-1 {
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

// PredictionSE returns the fitted value at predictors x (without the constant) and
// the standard error of one new response there: ResidualSD·√(1+h). Both are NaN
// if x has the wrong length or f does not come from LeastSquares.
func (f *Fit) PredictionSE(x []float64) (fit, se float64) {
	fit, h := f.At(x)
	return fit, f.ResidualSD * math.Sqrt(1+h)
}
