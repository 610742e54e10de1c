package panel

import (
	"math"

	"pleatstat/stats/num"
)

// PooledNoise is the within-block scatter of one kind of value, pooled over the
// blocks of many makers. It is the null distribution of a bootstrap test for a
// maker with too few openings to estimate its own.
type PooledNoise struct {
	// Prior and PriorDF are the variance and its degrees of freedom, as in
	// Moderated.
	Prior, PriorDF float64
	Floor          float64 // lower limit of a standard deviation
	// Residuals are standardised; their signs do not matter. Those from OwnFrom
	// (inclusive) to OwnTo (exclusive) belong to the values under test and are not
	// drawn.
	Residuals      []float64
	OwnFrom, OwnTo int
}

// NoiseOptions are the options of PooledNoise.Step; the zero value means the
// defaults.
type NoiseOptions struct {
	Seed uint64 // 0 = 1
	Most int    // largest number of sets drawn; 0 = 20,000
	// Worth is the level that P must reach to be of interest. If Alone, or the
	// smallest P that drawing can give, is above it, nothing is drawn and P is 1.
	// 0 = always compute P.
	Worth float64
}

// drawn returns the largest number of sets drawn.
func (o NoiseOptions) drawn() int {
	if o.Most <= 0 {
		return noiseDrawn
	}
	return o.Most
}

// NoiseResult is the result of a bootstrap test for a step.
type NoiseResult struct {
	P     float64
	Alone float64 // p-value by Student's t if the best date had been known beforehand
	// Step is the change of level of the winsorised values at From, the first
	// time at the new level.
	Step, From float64
	Drawn      int // sets of values, the observed one included; 0 if nothing was drawn
}

const (
	// noiseCut is the size, in scales, at which deviations from a block's median
	// are winsorised: one entry error then weighs less than a change in two blocks.
	noiseCut = 3.0
	// noiseCutAgain is the size, in scales, at which residuals about the step are
	// winsorised for its variance. No correction for this is needed, as the drawn
	// sets are winsorised alike.
	noiseCutAgain = 2.5
	// noiseDrawn is the default number of sets. Drawing stops earlier once
	// noiseEnough sets have a statistic at least as large; p then has a relative
	// error of about 1/5 (Besag and Clifford 1991, Biometrika 78, 301–304).
	noiseDrawn  = 20_000
	noiseEnough = 30
	// boundDF is the number of degrees of freedom above which P is the Bonferroni
	// bound over the dates, by Student's t with the values' own variance, which is
	// then estimated well enough without other makers.
	boundDF = 200
)

// Step tests for a step at any date, each block having its own level. Deviations
// from the medians of blocks are winsorised at three scales; the statistic is the
// largest t over all dates, with the moderated variance about the step. P is the
// share of sets of values with a statistic at least as large, the sets being drawn
// from the residuals with variances from the prior (a bootstrap from the
// hierarchical model of Smyth 2004). With more than 200 degrees of freedom nothing
// is drawn and P is the Bonferroni bound over the dates.
//
// Errors: those of FixedEffects, and *TooFewError if no date leaves enough values
// on both sides or there are no residuals to draw from.
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
	case o.Worth*float64(1+o.drawn()) < 1 && o.Worth > 0 && d.df <= boundDF: // even if no set drawn had so large a statistic
	case d.df > boundDF:
		r.P = math.Min(1, float64(len(d.dates))*r.Alone)
	default:
		err = d.draw(&r, t, o)
	}
	return r, err
}
