package linear

import (
	"math"

	"pleatstat/stats/num"
)

// demingFewest is the smallest number of points: one left out, the line still has
// a degree of freedom.
const demingFewest = 4

// DemingFit is a straight line fitted to points with errors in both variables.
type DemingFit struct {
	Slope, Intercept            float64
	SlopeSE, InterceptSE        float64 // jackknife
	SlopeLow, SlopeHigh         float64
	InterceptLow, InterceptHigh float64
	N, DF                       int // points; degrees of freedom n - 2 of the intervals
}

// Deming fits y = Intercept + Slope·x to variables both measured with error.
// lambda is the ratio of the error variance of y to that of x; with lambda 1 the
// line minimises the perpendicular distances. Standard errors are those of the
// jackknife, and intervals use Student's t with n-2 degrees of freedom: Linnet
// (1993), Clinical Chemistry 39, 424-432.
//
// Errors: *LengthError, *NonFiniteError, *TooFewError below 4 points,
// ErrNoSpread if the points, or those left when one is removed, have no direction
// or lie on a vertical line, *DomainError for lambda or confidence, ErrOverflow.
func Deming(x, y []float64, lambda, confidence float64) (DemingFit, error) {
	if err := num.CheckPairs(x, y, demingFewest); err != nil {
		return DemingFit{}, err
	}
	if !(lambda > 0) || math.IsInf(lambda, 0) {
		return DemingFit{}, &num.DomainError{Name: "ratio of variances", Value: lambda, Want: "above 0"}
	}
	if !(confidence > 0 && confidence < 1) {
		return DemingFit{}, &num.DomainError{Name: "confidence", Value: confidence, Want: "between 0 and 1"}
	}
	return newDemingSums(x, y, lambda).fit(confidence)
}

// demingSums holds the points scaled by powers of two and centred (at most 2 in
// size), and the sums of their squares and products.
type demingSums struct {
	dx, dy        []float64
	xx, yy, xy    float64
	meanX, meanY  float64
	lambda        float64 // in the scaled units
	slopeExponent int     // slope = scaled slope · 2^slopeExponent
	yExponent     int
}

func newDemingSums(x, y []float64, lambda float64) *demingSums {
	mx, xx, ex := num.Moments(x)
	my, yy, ey := num.Moments(y)
	s := &demingSums{
		dx: make([]float64, len(x)), dy: make([]float64, len(y)),
		xx: xx.Value(), yy: yy.Value(),
		meanX: mx.Value(), meanY: my.Value(),
		lambda:        math.Ldexp(lambda, 2*(ex-ey)),
		slopeExponent: ey - ex, yExponent: ey,
	}
	var xy num.DoubleDouble
	for i := range x {
		dx := num.DoubleDouble{Hi: math.Ldexp(x[i], -ex), Lo: 0}.Sub(mx)
		dy := num.DoubleDouble{Hi: math.Ldexp(y[i], -ey), Lo: 0}.Sub(my)
		s.dx[i], s.dy[i] = dx.Value(), dy.Value()
		xy = xy.Add(dx.Mul(dy))
	}
	s.xy = xy.Value()
	return s
}

// fit returns the line with its jackknife intervals. Leaving a point out reduces
// the sums by its own products times n/(n-1), so that the jackknife is O(n).
func (s *demingSums) fit(confidence float64) (DemingFit, error) {
	slope, ok := demingSlope(s.xx, s.yy, s.xy, s.lambda)
	if !ok {
		return DemingFit{}, num.ErrNoSpread
	}
	n := len(s.dx)
	size := float64(n)
	slopes := make([]float64, n)
	intercepts := make([]float64, n)
	for i := range n {
		dx, dy, k := s.dx[i], s.dy[i], size/(size-1)
		slopes[i], ok = demingSlope(s.xx-k*dx*dx, s.yy-k*dy*dy, s.xy-k*dx*dy, s.lambda)
		if !ok {
			return DemingFit{}, num.ErrNoSpread
		}
		intercepts[i] = s.meanY - dy/(size-1) - slopes[i]*(s.meanX-dx/(size-1))
	}
	// The jackknife variance is (n-1)/n times the sum of squares.
	spread := (size - 1) / math.Sqrt(size)
	out := DemingFit{
		Slope:       math.Ldexp(slope, s.slopeExponent),
		Intercept:   math.Ldexp(s.meanY-slope*s.meanX, s.yExponent),
		SlopeSE:     math.Ldexp(num.SD(slopes)*spread, s.slopeExponent),
		InterceptSE: math.Ldexp(num.SD(intercepts)*spread, s.yExponent),
		N:           n, DF: n - 2,
	}
	t := num.StudentQuantile(float64(out.DF), confidence)
	out.SlopeLow, out.SlopeHigh = out.Slope-t*out.SlopeSE, out.Slope+t*out.SlopeSE
	out.InterceptLow, out.InterceptHigh = out.Intercept-t*out.InterceptSE, out.Intercept+t*out.InterceptSE
	if !num.AllFinite([]float64{out.SlopeLow, out.SlopeHigh, out.InterceptLow, out.InterceptHigh}) {
		return DemingFit{}, num.ErrOverflow
	}
	return out, nil
}

// demingSlope returns the slope from the sums of squares and products, by
// whichever of two equivalent formulas avoids cancellation; false if the points
// have no direction or a vertical one.
func demingSlope(xx, yy, xy, lambda float64) (float64, bool) {
	u := yy - lambda*xx
	root := math.Hypot(u, 2*math.Sqrt(lambda)*xy)
	if u < 0 {
		return 2 * lambda * xy / (root - u), true
	}
	if xy == 0 {
		return 0, false
	}
	slope := (u + root) / (2 * xy)
	return slope, !math.IsNaN(slope) && !math.IsInf(slope, 0)
}
