package outlier

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Shape is the distribution of honest rows about the line, standardised to mean 0
// and variance 1.
//
// Symmetric shapes are Student's t, normal at infinite degrees of freedom. Skewed
// ones are the logarithm of a gamma variable, with the sign reversed if the long
// tail is above: smooth, positive on the whole line, and normal in the limit as
// their parameter grows (R. L. Prentice (1974), Biometrika 61, 539-544). At
// skewness 1 the long tail is within a fifth of that of a gamma distribution of the
// same skewness, up to four standard deviations.
type Shape struct {
	Name  string
	prior float64 // prior probability

	df    float64 // of Student's t; infinite = normal
	alpha float64 // shape parameter of the gamma variable; 0 = symmetric
	up    bool    // the long tail is above

	centre, spread, constant float64 // mean and SD before standardising; log of the normalising constant
}

// shapes returns all shapes, the normal one first. Their prior probabilities do not
// describe what markets are like. They were chosen by simulation (cmd/calibrate
// flags), together with the limit on q (see Evidence.Q), so that the error rate
// holds in each kind of market and not only on average. Long tails and strong
// skewness therefore count for more than they otherwise would, weak skewness for
// less.
func shapes() []Shape {
	return []Shape{
		symmetric("normal", 0.24, math.Inf(1)),
		symmetric("long tails, t(7)", 0.19, 7),
		symmetric("long tails, t(4.5)", 0.24, 4.5),
		skewed("skewed up, 0.5", 0.03, 4.43, true),
		skewed("skewed down, 0.5", 0.03, 4.43, false),
		skewed("skewed up, 1", 0.135, 1.27, true),
		skewed("skewed down, 1", 0.135, 1.27, false),
	}
}

func symmetric(name string, prior, df float64) Shape {
	s := Shape{Name: name, prior: prior, df: df, spread: 1, constant: -math.Log(2*math.Pi) / 2}
	if !math.IsInf(df, 1) {
		s.spread = math.Sqrt(df / (df - 2))
		s.constant = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.LogProb(0) + math.Log(s.spread)
	}
	return s
}

func skewed(name string, prior, alpha float64, up bool) Shape {
	logGamma, _ := math.Lgamma(alpha)
	s := Shape{Name: name, prior: prior, alpha: alpha, up: up,
		centre: mathext.Digamma(alpha), spread: math.Sqrt(mathext.Zeta(2, alpha))}
	s.constant = math.Log(s.spread) - logGamma
	return s
}

// raw converts the standardised u to the log of the gamma variable.
func (s *Shape) raw(u float64) float64 {
	if s.up {
		u = -u
	}
	return s.centre + s.spread*u
}

// logDensity returns the log density at u and its derivative there.
func (s *Shape) logDensity(u float64) (log, slope float64) {
	switch {
	case s.alpha > 0:
		w := s.raw(u)
		e := math.Exp(w)
		slope = s.spread * (s.alpha - e)
		if s.up {
			slope = -slope
		}
		return s.constant + s.alpha*w - e, slope
	case math.IsInf(s.df, 1):
		return s.constant - u*u/2, -u
	}
	t := u * s.spread
	f := 1 + t*t/s.df
	return s.constant - (s.df+1)/2*math.Log(f), -(s.df + 1) / s.df * t * s.spread / f
}

// above returns the probability of lying above u.
func (s *Shape) above(u float64) float64 {
	switch {
	case s.alpha > 0 && s.up:
		return mathext.GammaIncReg(s.alpha, math.Exp(s.raw(u)))
	case s.alpha > 0:
		return mathext.GammaIncRegComp(s.alpha, math.Exp(s.raw(u)))
	case math.IsInf(s.df, 1):
		return math.Erfc(u/math.Sqrt2) / 2
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: s.df}.CDF(-u * s.spread)
}

// weight returns the weight of a row at u in a least-squares regression, 1 under
// normal scatter: under long tails smaller far from the line and larger near it.
func (s *Shape) weight(u float64) float64 {
	if math.IsInf(s.df, 1) || s.alpha > 0 {
		return 1
	}
	t := u * s.spread
	return (s.df + 1) / (s.df + t*t) * s.spread * s.spread
}
