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
// within a fifth of that of a gamma of the same skewness up to four standard
// deviations.
type Shape struct {
	Name  string
	prior float64 // chance beforehand

	df    float64 // of Student's t; infinite = normal
	alpha float64 // of the gamma variable; 0 = even
	up    bool    // the long tail is above

	centre, spread, constant float64 // of the raw distribution; log of its constant
}

// shapes there are, the first the one of which scatter is even. The chances
// beforehand are not what markets are thought to be like, they are the cautious
// ones: with the limit on q (see Evidence.Q) chosen by simulation so that the error
// rate holds in each kind of market, not on average over them (cmd/calibrate
// flags). Long tails and strong skewness therefore count for more than they
// would, weak skewness for less.
func shapes() []Shape {
	return []Shape{
		even("normal", 0.24, math.Inf(1)),
		even("long tails, t(7)", 0.19, 7),
		even("long tails, t(4.5)", 0.24, 4.5),
		lopsided("skewed up, 0.5", 0.03, 4.43, true),
		lopsided("skewed down, 0.5", 0.03, 4.43, false),
		lopsided("skewed up, 1", 0.135, 1.27, true),
		lopsided("skewed down, 1", 0.135, 1.27, false),
	}
}

func even(name string, prior, df float64) Shape {
	s := Shape{Name: name, prior: prior, df: df, spread: 1, constant: -math.Log(2*math.Pi) / 2}
	if !math.IsInf(df, 1) {
		s.spread = math.Sqrt(df / (df - 2))
		s.constant = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.LogProb(0) + math.Log(s.spread)
	}
	return s
}

func lopsided(name string, prior, alpha float64, up bool) Shape {
	logGamma, _ := math.Lgamma(alpha)
	s := Shape{Name: name, prior: prior, alpha: alpha, up: up,
		centre: mathext.Digamma(alpha), spread: math.Sqrt(mathext.Zeta(2, alpha))}
	s.constant = math.Log(s.spread) - logGamma
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

// weight is what a row at u counts in a regression by least squares, a row of
// normal scatter counting 1: less far out where tails are long, more near by.
func (s *Shape) weight(u float64) float64 {
	if math.IsInf(s.df, 1) || s.alpha > 0 {
		return 1
	}
	t := u * s.spread
	return (s.df + 1) / (s.df + t*t) * s.spread * s.spread
}
