package panel

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"pleatstat/stats/num"
)

// Moderated is what several variances of one kind tell about each other.
type Moderated struct {
	Prior    float64   // variance they gather about; NaN where nothing could be learnt
	PriorDF  float64   // its weight in degrees of freedom; 0 = none, infinite = all alike
	Variance []float64 // each moved towards Prior
	DF       []float64 // degrees of freedom of each after that
	Total    float64   // degrees of freedom of all that taught something
}

// Move moves one more variance of the same kind towards the prior and returns
// it with its degrees of freedom. A variance that is infinite, negative or NaN,
// or without degrees of freedom, comes back unchanged.
func (m Moderated) Move(variance, df float64) (moved, movedDF float64) {
	switch {
	case !(variance >= 0) || math.IsInf(variance, 0) || !(df > 0) || !(m.PriorDF > 0):
		return variance, df
	case math.IsInf(m.PriorDF, 1):
		return m.Prior, math.Max(df, m.Total)
	}
	return (m.PriorDF*m.Prior + df*variance) / (m.PriorDF + df), math.Max(df, math.Min(m.PriorDF+df, m.Total))
}

// ModerateVariances moves variances, estimated with few degrees of freedom
// each, towards the value they have in common, the more the more alike they
// are: the same bench measured all of them. Where they differ by more than
// chance they stay as they are.
//
// Source: Smyth (2004), Statistical Applications in Genetics and Molecular
// Biology 3(1), article 3, section 6.2: moments of the logarithms give the
// prior; a moderated t has df + prior df degrees of freedom, here never more
// than all of them together.
//
// Variances that are zero, infinite or NaN, or without degrees of freedom,
// teach nothing; zeros are moved as the others, the rest come back unchanged.
// With fewer than three usable ones nothing is moved. Slices of unequal length
// are a *LengthError.
func ModerateVariances(variance, df []float64) (Moderated, error) {
	if len(variance) != len(df) {
		return Moderated{}, &num.LengthError{Column: "degrees of freedom", Have: len(df), Want: len(variance)}
	}
	m := Moderated{Prior: math.NaN(), Variance: make([]float64, len(variance)), DF: make([]float64, len(df))}
	var logs, noise []float64 // log variance less its bias, and its sampling variance
	for i, v := range variance {
		if d := df[i]; v > 0 && !math.IsInf(v, 0) && d > 0 && !math.IsInf(d, 0) {
			logs = append(logs, math.Log(v)-mathext.Digamma(d/2)+math.Log(d/2))
			noise = append(noise, trigamma(d/2))
			m.Total += d
		}
	}
	if len(logs) >= 3 {
		mean := num.Mean(logs)
		excess := 0.0
		for i, e := range logs {
			excess += (e-mean)*(e-mean)/float64(len(logs)-1) - noise[i]/float64(len(logs))
		}
		m.PriorDF, m.Prior = math.Inf(1), math.Exp(mean)
		if excess > 0 {
			m.PriorDF = 2 * inverseTrigamma(excess)
			m.Prior *= math.Exp(mathext.Digamma(m.PriorDF/2) - math.Log(m.PriorDF/2))
		}
	}
	for i, v := range variance {
		m.Variance[i], m.DF[i] = m.Move(v, df[i])
	}
	return m, nil
}

// trigamma is the second derivative of log Γ, Hurwitz's zeta at 2.
func trigamma(x float64) float64 { return mathext.Zeta(2, x) }

// inverseTrigamma solves trigamma(y) = x for x > 0 by Newton's method on
// 1/trigamma, which converges from above (Smyth 2004, appendix).
func inverseTrigamma(x float64) float64 {
	switch {
	case x > 1e7:
		return 1 / math.Sqrt(x)
	case x < 1e-6:
		return 1 / x
	}
	y := 0.5 + 1/x
	for range 50 {
		t := trigamma(y)
		step := t * (1 - t/x) / tetragamma(y)
		y += step
		if -step/y < 1e-10 {
			break
		}
	}
	return y
}

// tetragamma is the derivative of trigamma.
func tetragamma(x float64) float64 { return -2 * mathext.Zeta(3, x) }
