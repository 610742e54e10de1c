package panel

import (
	"math"

	"pleatstat/stats/num"
)

// PooledNoise is the within-block scatter of one kind of value, estimated from
// the blocks of many makers. It is the null distribution of a bootstrap test for
// a maker whose own openings are too few to estimate it.
type PooledNoise struct {
	// Prior and PriorDF are the variance and its weight, as in Moderated.
	Prior, PriorDF float64
	Floor          float64 // a standard deviation is never taken below this
	// Residuals are each over its standard deviation; their signs do not count.
	// Those from OwnFrom up to OwnTo are left out: the values under test must
	// not tell how large a deviation is common.
	Residuals      []float64
	OwnFrom, OwnTo int
}

// NoiseOptions are the choices of PooledNoise's tests; the zero value means
// the defaults.
type NoiseOptions struct {
	Seed uint64 // 0 = 1
	Most int    // sets of values drawn; 0 = 20,000
	// Worth is what P must reach to matter: where the p of the best date alone
	// or the smallest share that can be drawn is above it, P is not worked out
	// but 1. 0 = whatever it is.
	Worth float64
}

// drawn is the number of sets drawn at most.
func (o NoiseOptions) drawn() int {
	if o.Most <= 0 {
		return noiseDrawn
	}
	return o.Most
}

// NoiseResult is a p by drawing noise.
type NoiseResult struct {
	P     float64
	Alone float64 // by Student's t, of the best date had it been known beforehand
	// Step is the change of level at From, the first time at the new level,
	// after cutting.
	Step, From float64
	Drawn      int // sets of values drawn; 0 where P is a bound or not worked out
}

const (
	// noiseCut is where deviations from a block's median are winsorised, in
	// scales: one entry error then weighs less than a change in two blocks.
	noiseCut = 3.0
	// noiseCutAgain is where residuals about the step are winsorised for its
	// variance. It needs no correction for what is cut: the drawn sets are cut
	// alike.
	noiseCutAgain = 2.5
	// noiseDrawn sets are drawn unless said otherwise. Drawing stops earlier once
	// noiseEnough of them have a statistic as large, when p has a relative error
	// of about 1/5 (Besag and Clifford 1991, Biometrika 78, 301–304).
	noiseDrawn  = 20_000
	noiseEnough = 30
	// boundDF is the number of degrees of freedom above which the p of a step is
	// the Bonferroni bound over the dates, from Student's t with the values' own
	// variance, which is then estimated well enough without other makers.
	boundDF = 200
)

// Step tests for a step at any date, each block with a level of its own.
// Deviations from the block's median are winsorised at three scales; the statistic is
// the largest t over all dates with the moderated variance about the step. P
// is the share of sets of values, drawn from the residuals with variances from
// the prior (the parametric bootstrap with the hierarchical model of Smyth
// 2004), in which it is at least as large. With more than 200 degrees of
// freedom nothing is drawn and P is Bonferroni's bound over the dates.
//
// Errors: those of FixedEffects, and *TooFewError where no date leaves enough
// values on both sides or there is no noise to draw from.
func (n PooledNoise) Step(blocks []num.Series, o NoiseOptions) (NoiseResult, error) {
	d, err := n.prepare(blocks)
	if err != nil {
		return NoiseResult{}, err
	}
	d.each(d.zero(), func(i int, _, information float64) {
		d.dates, d.certain = append(d.dates, i), append(d.certain, 1/information)
	})
	if len(d.dates) == 0 {
		return NoiseResult{}, &num.TooFewError{What: "values on either side of a change", Have: len(d.values), Need: len(d.values) + 2}
	}
	d.placed = d.places()
	if d.df > boundDF {
		d.noise.Prior, d.noise.PriorDF = 0, 0
	}
	t, at, cross := d.statistic(d.values)
	r := NoiseResult{P: 1, Alone: num.StudentP(math.Sqrt(t), 1, d.df+d.noise.PriorDF), Step: cross * d.certain[at], From: d.time[d.dates[at]]}
	switch {
	case o.Worth > 0 && r.Alone > o.Worth:
	case o.Worth*float64(1+o.drawn()) < 1 && o.Worth > 0 && d.df <= boundDF: // not even if none held as much
	case d.df > boundDF:
		r.P = math.Min(1, float64(len(d.dates))*r.Alone)
	default:
		err = d.draw(&r, t, o)
	}
	return r, err
}
