package num

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// TwoSided is the two-sided p of a standard normal deviate.
func TwoSided(z float64) float64 { return math.Min(1, 2*distuv.UnitNormal.CDF(-math.Abs(z))) }

// StudentP is the two-sided p of estimate/se by Student's t with df degrees of
// freedom (infinite = the normal distribution): 1 for an estimate of 0, NaN
// where one is NaN or df is not positive.
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

// StudentQuantile is the t for a two-sided range of the given confidence with
// df degrees of freedom, whole or not; NaN for a confidence outside (0, 1) or
// df that is not positive.
func StudentQuantile(df, confidence float64) float64 {
	switch {
	case !(confidence > 0 && confidence < 1) || !(df > 0):
		return math.NaN()
	case math.IsInf(df, 1):
		return distuv.UnitNormal.Quantile((1 + confidence) / 2)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + confidence) / 2)
}
