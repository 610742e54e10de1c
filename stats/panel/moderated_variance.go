package panel

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"pleatstat/stats/num"
)

// Moderated holds variances of one kind after each was moved towards their common
// value.
type Moderated struct {
	Prior    float64   // common variance; NaN if it could not be estimated
	PriorDF  float64   // its weight in degrees of freedom; 0 = none, infinite = all variances are equal
	Variance []float64 // moderated variances
	DF       []float64 // their degrees of freedom
	Total    float64   // degrees of freedom of all variances used for the estimate
}

// Move moves a variance of the same kind towards the prior and returns it with its
// degrees of freedom. A variance that is infinite, negative or NaN, or has no
// degrees of freedom, is returned unchanged.
func (m Moderated) Move(variance, df float64) (moved, movedDF float64) {
	switch {
	case !(variance >= 0) || math.IsInf(variance, 0) || !(df > 0) || !(m.PriorDF > 0):
		return variance, df
	case math.IsInf(m.PriorDF, 1):
		return m.Prior, math.Max(df, m.Total)
	}
	return (m.PriorDF*m.Prior + df*variance) / (m.PriorDF + df), math.Max(df, math.Min(m.PriorDF+df, m.Total))
}

// ModerateVariances moves variances, each estimated with few degrees of freedom,
// towards their common value (empirical Bayes): the more alike they are, the
// further; variances that differ by much more than chance hardly move.
//
// Source: Smyth (2004), Statistical Applications in Genetics and Molecular
// Biology 3(1), article 3, section 6.2: the prior is estimated from moments of the
// logarithms, and a moderated t has df + prior df degrees of freedom, here limited
// to the total of all df.
//
// Variances that are zero, infinite or NaN, or have no degrees of freedom, do not
// enter the prior; of these, zeros are moderated like the rest and the others are
// returned unchanged. With fewer than three usable variances nothing is moved.
// Slices of unequal length give a *LengthError.
func ModerateVariances(variance, df []float64) (Moderated, error) {
	if len(variance) != len(df) {
		return Moderated{}, &num.LengthError{Column: "degrees of freedom", Have: len(df), Want: len(variance)}
	}
	m := Moderated{Prior: math.NaN(), Variance: make([]float64, len(variance)), DF: make([]float64, len(df))}
	var logs, noise []float64 // log variances corrected for bias, and their sampling variances
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

// trigamma returns the second derivative of log Γ, by Hurwitz's zeta function.
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

// tetragamma returns the derivative of trigamma.
func tetragamma(x float64) float64 { return -2 * mathext.Zeta(3, x) }
