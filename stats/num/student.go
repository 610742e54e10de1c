package num

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// TwoSided returns the two-sided p-value of a standard normal deviate z.
func TwoSided(z float64) float64 { return math.Min(1, 2*distuv.UnitNormal.CDF(-math.Abs(z))) }

// StudentP returns the two-sided p-value of estimate/se by Student's t with df
// degrees of freedom (infinite df: the normal distribution). An estimate of 0
// gives 1; a NaN, or df that is not positive, gives NaN.
func StudentP(estimate, se, df float64) float64 {
	switch {
	case !(df > 0) || math.IsNaN(estimate) || math.IsNaN(se):
		return math.NaN()
	case estimate == 0:
		return 1
	case se == 0:
		return 0
	case math.IsInf(df, 1):
		return TwoSided(estimate / se)
	}
	return 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.CDF(-math.Abs(estimate/se))
}

// StudentQuantile returns the quantile of Student's t for a two-sided interval at
// the given confidence with df degrees of freedom, which need not be an integer;
// NaN for a confidence outside (0, 1) or df that is not positive.
func StudentQuantile(df, confidence float64) float64 {
	switch {
	case !(confidence > 0 && confidence < 1) || !(df > 0):
		return math.NaN()
	case math.IsInf(df, 1):
		return distuv.UnitNormal.Quantile((1 + confidence) / 2)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + confidence) / 2)
}
