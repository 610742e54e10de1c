package outlier

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Shape is what honest rows scatter like about the line: a distribution of mean
// 0 and variance 1.
//
// Even shapes are Student's t, normal at infinite degrees of freedom. Lopsided
// ones are the logarithm of a gamma variable, turned round where they reach up:
// smooth, with all of the line for support, normal as their parameter grows (R.
// L. Prentice (1974), Biometrika 61, 539-544). At skewness 1 the long tail is
// that of a gamma of the same skewness to a tenth as far as four standard
// deviations.
type Shape struct {
	Name  string
	Prior float64 // chance beforehand

	df    float64 // of Student's t; infinite = normal
	alpha float64 // of the gamma variable; 0 = even
	up    bool    // the long tail is above

	// centre and spread of the raw distribution, log of its constant, and the
	// information about its place: of n rows n times it.
	centre, spread, constant, information float64
}

// shapes there are, the first the one with which scatter is even. Most markets
// of a bench are too small to tell them apart: the chances beforehand decide, and
// the error rates of cmd/calibrate are those of these.
func shapes() []Shape {
	return []Shape{
		even("normal", 0.30, math.Inf(1)),
		even("long tails, t(7)", 0.10, 7),
		even("long tails, t(4.5)", 0.10, 4.5),
		lopsided("skewed up, 0.5", 0.20, 4.43, true),
		lopsided("skewed down, 0.5", 0.15, 4.43, false),
		lopsided("skewed up, 1", 0.15, 1.27, true),
	}
}

func even(name string, prior, df float64) Shape {
	s := Shape{Name: name, Prior: prior, df: df, spread: 1, information: 1, constant: -math.Log(2*math.Pi) / 2}
	if !math.IsInf(df, 1) {
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		s.spread = math.Sqrt(df / (df - 2))
		s.information = (df + 1) / (df + 3) * s.spread * s.spread
		s.constant = t.LogProb(0) + math.Log(s.spread)
	}
	return s
}

func lopsided(name string, prior, alpha float64, up bool) Shape {
	s := Shape{Name: name, Prior: prior, alpha: alpha, up: up,
		centre: mathext.Digamma(alpha), spread: math.Sqrt(mathext.Zeta(2, alpha))}
	logGamma, _ := math.Lgamma(alpha)
	s.constant = math.Log(s.spread) - logGamma
	s.information = alpha * s.spread * s.spread
	return s
}

// raw is u in the log of the gamma variable.
func (s *Shape) raw(u float64) float64 {
	if s.up {
		u = -u
	}
	return s.centre + s.spread*u
}

// logDensity returns the log density at u and its derivative.
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

// above is the chance to lie above u.
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

// weight is what a row at u counts in a regression by least squares, a row at
// the line of normal scatter counting 1: less than 1 far out where tails are
// long.
func (s *Shape) weight(u float64) float64 {
	if math.IsInf(s.df, 1) || s.alpha > 0 {
		return 1
	}
	t := u * s.spread
	return (s.df + 1) / (s.df + t*t) * s.spread * s.spread
}
