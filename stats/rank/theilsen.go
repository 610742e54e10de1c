package rank

import (
	"math"

	"pleatstat/stats/num"
)

// TheilSenFit is a line whose slope is the median of the slopes between all pairs
// of points.
type TheilSenFit struct {
	Slope      float64
	Intercept  float64 // median of y - Slope·x: as many points above the line as below
	Low, High  float64 // confidence interval of the slope; infinite if there are too few slopes to bound it
	Confidence float64
	N          int // points
	Slopes     int // pairs of points with different x
}

// TheilSen fits a line by the median of the slopes between all pairs of points
// with different x, with an interval for the slope at the given confidence (0.95
// for 95 %). The time for large n grows as n log n.
//
// The interval uses the normal approximation to Kendall's S, its variance corrected
// for ties in x and in y: with C = z·√Var(S) and N slopes, its limits are the
// ordered slopes at ranks (N-C)/2 and (N+C)/2+1, interpolated (Gilbert 1987,
// Statistical Methods for Environmental Pollution Monitoring, section 16.5). The
// intercept is the median of y - Slope·x.
//
// Sources: H. Theil (1950), Indag. Math. 12, 85-91, 173-177 and 467-482; P. K.
// Sen (1968), Estimates of the regression coefficient based on Kendall's tau, J.
// Am. Stat. Assoc. 63, 1379-1389.
//
// Errors: *LengthError, *NonFiniteError, *TooFewError below 3 points,
// *ProbabilityError for a confidence outside (0, 1), *RankError if all x are
// equal, ErrOverflow.
func TheilSen(x, y []float64, confidence float64) (TheilSenFit, error) {
	n := len(x)
	if len(y) != n {
		return TheilSenFit{}, &num.LengthError{Column: "response", Have: len(y), Want: n}
	}
	if i := num.FirstNonFinite(x); i >= 0 {
		return TheilSenFit{}, &num.NonFiniteError{Column: "predictor", Row: i}
	}
	if i := num.FirstNonFinite(y); i >= 0 {
		return TheilSenFit{}, &num.NonFiniteError{Column: "response", Row: i}
	}
	if n < 3 {
		return TheilSenFit{}, &num.TooFewError{What: "points", Have: n, Need: 3}
	}
	if !(confidence > 0 && confidence < 1) {
		return TheilSenFit{}, &num.ProbabilityError{Value: confidence}
	}
	// Scaled to at most 1, differences and slopes do not overflow needlessly.
	ex, ey := num.ExponentOf(x), num.ExponentOf(y)
	scaled := num.Series{T: make([]float64, n), Y: make([]float64, n)}
	for i := range x {
		scaled.T[i], scaled.Y[i] = math.Ldexp(x[i], -ex), math.Ldexp(y[i], -ey)
	}
	sen, err := BlockedSen([]num.Series{scaled}, confidence)
	if err != nil {
		return TheilSenFit{}, &num.RankError{Columns: []string{"predictor"}}
	}
	f := TheilSenFit{N: n, Slopes: sen.Pairs, Confidence: confidence, Slope: math.Ldexp(sen.Slope, ey-ex),
		Low: math.Ldexp(sen.Low, ey-ex), High: math.Ldexp(sen.High, ey-ex)}
	rest := make([]float64, n)
	for i := range rest {
		rest[i] = y[i] - f.Slope*x[i]
	}
	f.Intercept = num.Median(rest)
	if math.IsInf(f.Slope, 0) || math.IsNaN(f.Intercept) || math.IsInf(f.Intercept, 0) {
		return TheilSenFit{}, num.ErrOverflow
	}
	return f, nil
}
