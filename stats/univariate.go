package stats

import (
	"math"
	"slices"
)

// madScale makes the median absolute deviation estimate the standard deviation
// of normal values: 1/Φ⁻¹(3/4).
const madScale = 1.482602218505602

// Mean returns the arithmetic mean, summed with compensation; NaN without
// values or where one is not finite.
func Mean(x []float64) float64 {
	m, exponent := scaledMean(x)
	return m.scaled(exponent).value()
}

// SD returns the standard deviation (divisor n-1) about the compensated mean;
// NaN with fewer than two values or where one is not finite.
func SD(x []float64) float64 {
	if len(x) < 2 {
		return math.NaN()
	}
	_, ss, exponent := moments(x)
	return math.Ldexp(math.Sqrt(ss.value()/float64(len(x)-1)), exponent)
}

// Lag1 returns the lag-1 autocorrelation coefficient
// Σ (x[i]-m)(x[i+1]-m) / Σ (x[i]-m)², m the mean of all values, as NIST's
// Statistical Reference Datasets define it; NaN with fewer than two values,
// without spread, or where one is not finite.
func Lag1(x []float64) float64 {
	if len(x) < 2 {
		return math.NaN()
	}
	m, ss, exponent := moments(x)
	if !(ss.hi > 0) {
		return math.NaN()
	}
	var cross doubleDouble
	before := doubleDouble{math.Ldexp(x[0], -exponent), 0}.sub(m)
	for _, v := range x[1:] {
		now := doubleDouble{math.Ldexp(v, -exponent), 0}.sub(m)
		cross = cross.add(before.mul(now))
		before = now
	}
	return cross.value() / ss.value()
}

// moments returns the mean and the sum of squares about it, both of
// x·2^-exponent, which keeps squares of any values inside the range of double
// precision.
func moments(x []float64) (mean, squares doubleDouble, exponent int) {
	mean, exponent = scaledMean(x)
	if math.IsNaN(mean.hi) {
		return mean, mean, 0
	}
	for _, v := range x {
		d := doubleDouble{math.Ldexp(v, -exponent), 0}.sub(mean)
		squares = squares.add(d.mul(d))
	}
	return mean, squares, exponent
}

// scaledMean returns the mean of x·2^-exponent.
func scaledMean(x []float64) (mean doubleDouble, exponent int) {
	if len(x) == 0 || !allFinite(x) {
		return doubleDouble{math.NaN(), 0}, 0
	}
	exponent = exponentOf(x)
	for _, v := range x {
		mean = mean.addFloat(math.Ldexp(v, -exponent))
	}
	return mean.divFloat(float64(len(x))), exponent
}

// Median returns the middle value, the mean of the two middle ones where the
// number is even; NaN without values or where one is not finite.
func Median(x []float64) float64 {
	return Quantile(x, 0.5)
}

// MAD returns the median absolute deviation from the median times 1.4826, which
// estimates the standard deviation of normal values; NaN without values or
// where one is not finite.
func MAD(x []float64) float64 {
	d := slices.Clone(x)
	m := medianIn(d)
	if math.IsNaN(m) {
		return m
	}
	for i, v := range d {
		d[i] = math.Abs(v - m)
	}
	return madScale * medianIn(d)
}

// Quantile returns the q-quantile, 0 <= q <= 1, by linear interpolation between
// order statistics at position (n-1)q: definition 7 of Hyndman and Fan (1996),
// The American Statistician 50, 361-365. NaN without values, where one is not
// finite, or for q outside [0, 1].
func Quantile(x []float64, q float64) float64 {
	return quantileIn(slices.Clone(x), q)
}

// quantileIn is Quantile, and leaves x in another order.
func quantileIn(x []float64, q float64) float64 {
	if len(x) == 0 || !allFinite(x) || !(q >= 0 && q <= 1) {
		return math.NaN()
	}
	low := int(q * float64(len(x)-1))
	selectRank(x, low)
	if rest := x[low+1:]; len(rest) > 0 { // the least of those above
		at := 0
		for i, v := range rest {
			if v < rest[at] {
				at = i
			}
		}
		rest[0], rest[at] = rest[at], rest[0]
	}
	return quantileSorted(x, q)
}

// medianIn is Median, and leaves x in another order.
func medianIn(x []float64) float64 { return quantileIn(x, 0.5) }

// quantileSorted is Quantile of values that are finite and in order, at least
// at the two places between which it lies.
func quantileSorted(sorted []float64, q float64) float64 {
	position := q * float64(len(sorted)-1)
	low := int(position)
	if low >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	part := position - float64(low)
	// Not a + part·(b-a): the difference of two finite values can overflow.
	return (1-part)*sorted[low] + part*sorted[low+1]
}

func allFinite(x []float64) bool { return firstNonFinite(x) < 0 }

// firstNonFinite returns the index of the first NaN or infinity, -1 without.
func firstNonFinite(x []float64) int {
	for i, v := range x {
		if v-v != 0 { // only of a finite number is nothing left
			return i
		}
	}
	return -1
}
