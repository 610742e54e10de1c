package panel

import (
	"math"

	"pleatstat/stats/num"
)

// CUSUMOptions are the settings of a tabular CUSUM, in units of the values.
// The zero value means a target of 0, K 0.5 and H 5 for standardised values:
// tuned to a shift of one standard deviation, with a false alarm in about 465
// values.
type CUSUMOptions struct {
	Target float64
	K      float64 // slack, half the shift to be seen soon; 0 = 0.5
	H      float64 // an alarm is raised above this; 0 = 5
}

// CUSUMResult is a tabular CUSUM.
type CUSUMResult struct {
	Up, Down       []float64 // sums of what exceeds Target + K upwards and downwards
	RunUp, RunDown []int     // values since each was last zero
	Alarm          int       // first value at which one exceeds H; -1 = none
	Downward       bool      // the alarm is one of falling values
	Since          int       // first value of the run that led to the alarm; -1 = none
}

// CUSUM runs a two-sided tabular cumulative sum over values in time order: it
// says when a shift would have been noticed by someone who looked after every
// value, and since when it had been building up.
//
// Source: Page (1954), Biometrika 41, 100–115, in the form of Montgomery,
// Introduction to Statistical Quality Control, chapter 9, and of NIST/SEMATECH
// e-Handbook, section 6.3.2.3. Where both sides exceed H with one value the
// larger sum names the direction. Errors: NaN or infinite values
// (*NonFiniteError); without values there is no alarm.
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

// grown adds an excess to a sum that never falls below zero and counts the
// values since it was last there.
func grown(sum float64, run int, excess float64) (float64, int) {
	if sum += excess; sum > 0 {
		return sum, run + 1
	}
	return 0, 0
}

// CUSUMRunLength is the mean number of values until a two-sided CUSUM of
// independent standard normal values shifted by shift raises an alarm.
//
// Source: Siegmund (1985), Sequential Analysis, in the form of Montgomery,
// chapter 9: b = h + 1.166; within a few per cent for k 0.5 and h from 3 on.
// NaN unless k and h are positive.
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

// CUSUMLimit is the h at which a two-sided CUSUM of n independent standard
// normal values raises any false alarm with a chance of about chance, at least
// 3; NaN unless n and k are positive and chance is between 0 and 1.
func CUSUMLimit(n int, k, chance float64) float64 {
	if n <= 0 || !(k > 0) || !(chance > 0 && chance < 1) {
		return math.NaN()
	}
	// Waiting times are close to exponential.
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
