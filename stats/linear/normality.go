package linear

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// Sample sizes for which Royston's approximation is valid.
const (
	shapiroFewest = 3
	shapiroMost   = 5000
)

// Polynomial coefficients of Royston (1995), constant term first: the two outer
// weights as polynomials in 1/√n; the mean and log standard deviation of the
// transformed 1-W as polynomials in n (n <= 11) or in log n.
var (
	shapiroFirst      = []float64{0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056}
	shapiroSecond     = []float64{0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633}
	shapiroSmallLimit = []float64{-2.273, 0.459}
	shapiroSmallMean  = []float64{0.544, -0.39978, 0.025054, -6.714e-4}
	shapiroSmallSD    = []float64{1.3822, -0.77857, 0.062767, -0.0020322}
	shapiroLargeMean  = []float64{-1.5861, -0.31082, -0.083751, 0.0038915}
	shapiroLargeSD    = []float64{-0.4803, -0.082676, 0.0030302}
)

// ShapiroWilk tests whether values come from a normal distribution: Shapiro and
// Wilk (1965), Biometrika 52, 591-611, with weights and p-value after Royston
// (1995), Applied Statistics 44, 547-551, algorithm AS R94. A small p is evidence
// against normality.
//
// Errors: *NonFiniteError, *TooFewError below 3 values, *TooManyError above 5000,
// ErrNoSpread.
func ShapiroWilk(x []float64) (w, p float64, err error) {
	z, err := standardScores(x, shapiroFewest)
	if err != nil {
		return math.NaN(), math.NaN(), err
	}
	n := len(z)
	if n > shapiroMost {
		return math.NaN(), math.NaN(), &num.TooManyError{What: "values", Have: n, Most: shapiroMost}
	}
	a := shapiroWeights(n)
	var sum, squares, weights float64
	for i, half := range a {
		sum += half * (z[n-1-i] - z[i])
		weights += 2 * half * half
	}
	for _, v := range z {
		squares += v * v
	}
	// 1-W as a product, which loses no digits if W is near 1.
	length := math.Sqrt(weights * squares)
	gap := math.Max((length-sum)*(length+sum)/(weights*squares), 0)
	return 1 - gap, shapiroP(n, gap), nil
}

// shapiroWeights returns the weights of the upper half of the ordered values,
// largest first.
func shapiroWeights(n int) []float64 {
	a := make([]float64, n/2)
	if n == 3 {
		a[0] = math.Sqrt(0.5)
		return a
	}
	m := make([]float64, n/2)
	var squares float64
	for i := range m {
		m[i] = -distuv.UnitNormal.Quantile((float64(i+1) - 0.375) / (float64(n) + 0.25))
		squares += 2 * m[i] * m[i]
	}
	root := 1 / math.Sqrt(float64(n))
	a[0] = polynomial(shapiroFirst, root) + m[0]/math.Sqrt(squares)
	outer := 1
	rest, share := squares-2*m[0]*m[0], 1-2*a[0]*a[0]
	if n > 5 {
		a[1] = polynomial(shapiroSecond, root) + m[1]/math.Sqrt(squares)
		outer = 2
		rest -= 2 * m[1] * m[1]
		share -= 2 * a[1] * a[1]
	}
	for i := outer; i < len(a); i++ {
		a[i] = m[i] / math.Sqrt(rest/share)
	}
	return a
}

// shapiroP returns the p-value of 1-W = gap.
func shapiroP(n int, gap float64) float64 {
	if n == 3 { // exact
		return math.Max(0, math.Min(1, 6/math.Pi*(math.Asin(math.Sqrt(1-gap))-math.Asin(math.Sqrt(0.75)))))
	}
	if gap == 0 {
		return 1
	}
	size, logSize := float64(n), math.Log(float64(n))
	y := math.Log(gap)
	mean, sd := polynomial(shapiroLargeMean, logSize), math.Exp(polynomial(shapiroLargeSD, logSize))
	if n <= 11 {
		limit := polynomial(shapiroSmallLimit, size)
		if y >= limit {
			return 0
		}
		y = -math.Log(limit - y)
		mean, sd = polynomial(shapiroSmallMean, size), math.Exp(polynomial(shapiroSmallSD, size))
	}
	return distuv.UnitNormal.Survival((y - mean) / sd)
}

// standardScores returns the values standardised to mean 0 and standard deviation
// 1, in ascending order.
func standardScores(x []float64, fewest int) ([]float64, error) {
	if i := num.FirstNonFinite(x); i >= 0 {
		return nil, &num.NonFiniteError{Column: "sample", Row: i}
	}
	if len(x) < fewest {
		return nil, &num.TooFewError{What: "values", Have: len(x), Need: fewest}
	}
	mean, squares, exponent := num.Moments(x)
	sd := math.Sqrt(squares.Value() / float64(len(x)-1))
	// Scaled values are at most 1: a smaller standard deviation is rounding.
	if sd <= constantTolerance {
		return nil, num.ErrNoSpread
	}
	z := make([]float64, len(x))
	for i, v := range x {
		z[i] = num.DoubleDouble{Hi: math.Ldexp(v, -exponent), Lo: 0}.Sub(mean).Value() / sd
	}
	slices.Sort(z)
	return z, nil
}

// polynomial returns the polynomial with the given coefficients, constant term
// first, at x.
func polynomial(coefficients []float64, x float64) float64 {
	var sum float64
	for i := len(coefficients) - 1; i >= 0; i-- {
		sum = sum*x + coefficients[i]
	}
	return sum
}
