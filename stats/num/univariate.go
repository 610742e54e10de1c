package num

import (
	"math"
	"slices"
)

// MadScale is 1/Φ⁻¹(3/4): multiplied by it, the median absolute deviation
// estimates the standard deviation of normal values.
const MadScale = 1.482602218505602

// Mean returns the arithmetic mean, summed in double-double arithmetic; NaN if x
// is empty or holds a value that is not finite.
func Mean(x []float64) float64 {
	m, exponent := scaledMean(x)
	return m.scaled(exponent).Value()
}

// SD returns the standard deviation (divisor n-1), summed in double-double
// arithmetic; NaN if x has fewer than two values or one that is not finite.
func SD(x []float64) float64 {
	if len(x) < 2 {
		return math.NaN()
	}
	_, ss, exponent := Moments(x)
	return math.Ldexp(math.Sqrt(ss.Value()/float64(len(x)-1)), exponent)
}

// Moments returns the mean of x·2^-exponent and its sum of squares about the
// mean. The scaling keeps the squares within the range of double precision. Both
// are NaN if x is empty or holds a value that is not finite.
func Moments(x []float64) (mean, squares DoubleDouble, exponent int) {
	mean, exponent = scaledMean(x)
	if math.IsNaN(mean.Hi) {
		return mean, mean, 0
	}
	for _, v := range x {
		d := DoubleDouble{math.Ldexp(v, -exponent), 0}.Sub(mean)
		squares = squares.Add(d.Mul(d))
	}
	return mean, squares, exponent
}

// scaledMean returns the mean of x·2^-exponent.
func scaledMean(x []float64) (mean DoubleDouble, exponent int) {
	if len(x) == 0 || !AllFinite(x) {
		return DoubleDouble{math.NaN(), 0}, 0
	}
	exponent = ExponentOf(x)
	for _, v := range x {
		mean = mean.AddFloat(math.Ldexp(v, -exponent))
	}
	return mean.DivFloat(float64(len(x))), exponent
}

// Median returns the middle value, or the mean of the two middle values if their
// number is even; NaN if x is empty or holds a value that is not finite.
func Median(x []float64) float64 {
	return Quantile(x, 0.5)
}

// MAD returns the median absolute deviation from the median times MadScale, which
// estimates the standard deviation of normal values; NaN if x is empty or holds a
// value that is not finite.
func MAD(x []float64) float64 {
	d := slices.Clone(x)
	m := MedianIn(d)
	if math.IsNaN(m) {
		return m
	}
	for i, v := range d {
		d[i] = math.Abs(v - m)
	}
	return MadScale * MedianIn(d)
}

// Quantile returns the q-quantile, 0 <= q <= 1, by linear interpolation between
// order statistics at position (n-1)q: definition 7 of Hyndman and Fan (1996),
// The American Statistician 50, 361-365. It is NaN if x is empty or holds a value
// that is not finite, or if q is outside [0, 1].
func Quantile(x []float64, q float64) float64 {
	return quantileIn(slices.Clone(x), q)
}

// quantileIn is Quantile without the copy: it reorders x.
func quantileIn(x []float64, q float64) float64 {
	if len(x) == 0 || !AllFinite(x) || !(q >= 0 && q <= 1) {
		return math.NaN()
	}
	low := int(q * float64(len(x)-1))
	SelectRank(x, low)
	if rest := x[low+1:]; len(rest) > 0 { // move the smallest value above to low+1
		at := 0
		for i, v := range rest {
			if v < rest[at] {
				at = i
			}
		}
		rest[0], rest[at] = rest[at], rest[0]
	}
	return QuantileSorted(x, q)
}

// MedianIn is Median without the copy: it reorders x.
func MedianIn(x []float64) float64 { return quantileIn(x, 0.5) }

// QuantileSorted is Quantile for finite values in ascending order. Only the two
// order statistics that it interpolates need to be in their places.
func QuantileSorted(sorted []float64, q float64) float64 {
	position := q * float64(len(sorted)-1)
	low := int(position)
	if low >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	part := position - float64(low)
	// Not a + part·(b-a): the difference of two finite values can overflow.
	return (1-part)*sorted[low] + part*sorted[low+1]
}

// Finite returns a copy of x without NaN and infinities.
func Finite(x []float64) []float64 {
	return slices.DeleteFunc(slices.Clone(x), func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

func AllFinite(x []float64) bool { return FirstNonFinite(x) < 0 }

// FirstNonFinite returns the index of the first NaN or infinity, or -1.
func FirstNonFinite(x []float64) int {
	for i, v := range x {
		if v-v != 0 { // v-v is NaN for an infinity as well
			return i
		}
	}
	return -1
}
