package panel

import (
	"math"

	"pleatstat/stats/num"
)

// CUSUMOptions are the settings of a tabular CUSUM, in units of the values. The
// zero value means Target 0, K 0.5 and H 5. For standardised values this is tuned
// to a shift of one standard deviation and gives a false alarm once in about 465
// values.
type CUSUMOptions struct {
	Target float64
	K      float64 // slack, half the shift to be detected quickly; 0 = 0.5
	H      float64 // an alarm is raised above this; 0 = 5
}

// CUSUMResult is the result of a tabular CUSUM; slices have one element per value.
type CUSUMResult struct {
	Up, Down       []float64 // cumulative sums of the excess above Target + K, below Target - K
	RunUp, RunDown []int     // number of values since each sum was last zero
	Alarm          int       // index of the first value at which a sum exceeds H; -1 = none
	Downward       bool      // whether the alarm is for falling values
	Since          int       // index of the first value of the run that led to the alarm; -1 = none
}

// CUSUM computes a two-sided tabular cumulative sum of values in time order: the
// value at which monitoring would have detected a shift, and the value from which
// that shift had been building up.
//
// Source: Page (1954), Biometrika 41, 100–115, in the form of Montgomery,
// Introduction to Statistical Quality Control, chapter 9, and of NIST/SEMATECH
// e-Handbook, section 6.3.2.3. If both sums exceed H at the same value, the larger
// decides the direction. Errors: NaN or infinite values (*NonFiniteError).
func CUSUM(x []float64, o CUSUMOptions) (CUSUMResult, error) {
	if i := num.FirstNonFinite(x); i >= 0 {
		return CUSUMResult{}, &num.NonFiniteError{Column: "x", Row: i}
	}
	if o.K <= 0 {
		o.K = 0.5
	}
	if o.H <= 0 {
		o.H = 5
	}
	n := len(x)
	r := CUSUMResult{
		Up: make([]float64, n), Down: make([]float64, n),
		RunUp: make([]int, n), RunDown: make([]int, n), Alarm: -1, Since: -1,
	}
	var up, down float64
	var runUp, runDown int
	for i, v := range x {
		up, runUp = grown(up, runUp, v-o.Target-o.K)
		down, runDown = grown(down, runDown, o.Target-o.K-v)
		r.Up[i], r.Down[i], r.RunUp[i], r.RunDown[i] = up, down, runUp, runDown
		if r.Alarm < 0 && math.Max(up, down) > o.H {
			r.Alarm, r.Downward, r.Since = i, down > up, i-runUp+1
			if r.Downward {
				r.Since = i - runDown + 1
			}
		}
	}
	return r, nil
}

// grown adds an excess to a sum that is kept at or above zero, and counts the
// values since it was last zero.
func grown(sum float64, run int, excess float64) (float64, int) {
	if sum += excess; sum > 0 {
		return sum, run + 1
	}
	return 0, 0
}

// CUSUMRunLength returns the average run length: the mean number of values until
// a two-sided CUSUM of independent normal values with mean shift and standard
// deviation 1 raises an alarm. It is NaN unless k and h are positive.
//
// Source: Siegmund (1985), Sequential Analysis, in the form of Montgomery,
// chapter 9, with b = h + 1.166; accurate to a few per cent for k 0.5 and h >= 3.
func CUSUMRunLength(shift, k, h float64) float64 {
	if !(k > 0 && h > 0) || math.IsNaN(shift) {
		return math.NaN()
	}
	one := func(drift float64) float64 {
		b := h + 1.166
		if math.Abs(drift) < 1e-6 { // the limit of the expression below
			return b * b
		}
		return (math.Exp(-2*drift*b) + 2*drift*b - 1) / (2 * drift * drift)
	}
	return 1 / (1/one(shift-k) + 1/one(-shift-k))
}

// CUSUMLimit returns the h, at least 3, at which a two-sided CUSUM of n independent
// standard normal values raises a false alarm with probability about chance; NaN
// unless n and k are positive and chance is between 0 and 1.
func CUSUMLimit(n int, k, chance float64) float64 {
	if n <= 0 || !(k > 0) || !(chance > 0 && chance < 1) {
		return math.NaN()
	}
	// The run length is approximately exponential.
	want := float64(n) / -math.Log1p(-chance)
	low, high := 3.0, 3.0
	for CUSUMRunLength(0, k, high) < want {
		high *= 2
	}
	for high-low > 1e-6 {
		if middle := (low + high) / 2; CUSUMRunLength(0, k, middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
