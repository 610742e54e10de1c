package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"pleatstat/stats/num"
)

// What clean rows scatter like is weighed by Bayes' rule: every noise, every
// scale and every likely set of rows shifted off the line gets the chance that
// the residuals leave it. Averaging over the shifted rows instead of choosing
// those that fit best is what keeps a long tail of honest prices from passing
// for a few overpriced parts (the best of many explanations always fits well).

// noiseKinds are the kinds of noise by their degrees of freedom, the first
// normal, the others long-tailed: both are as likely beforehand. More weight on
// the tails buys fewer false flags under such noise with power under normal noise.
var noiseKinds = [...]struct{ df, prior float64 }{
	{math.Inf(1), 1.0 / 2},
	{7, 1.0 / 4},
	{4, 1.0 / 4},
}

const (
	// The scale is looked for on a grid of logarithms, this far about the guess.
	scaleBelow, scaleAbove, scaleStep = 0.6, 0.6, 0.06
	// stepsPerSD: a grid as fine as this share of what the scale is known to
	// leaves nothing out.
	stepsPerSD = 0.9
	// negligible log chances are left out.
	negligible = 16.0
	// leastChance of a scale that is kept.
	leastChance = 1e-5
	// ruledOut: long tails less likely than this are ruled out by the residuals.
	ruledOut = 0.05
	// More than coarseAbove residuals are weighed in bins of coarseWidth scales.
	coarseAbove = 500
	coarseWidth = 0.05
)

// weighing is what the residuals say of one kind of noise.
type weighing struct {
	df       float64
	evidence float64   // log of the chance of the residuals, but for a constant
	scales   []float64 // on a grid
	chances  []float64 // of each scale; they add up to one
}

// weighOne weighs one kind of noise, as finely as it takes unless it is far less
// likely than the most likely so far.
func (s *spread) weighOne(df, most float64) weighing {
	sd := 1 / math.Sqrt(2*math.Max(1, floats.Sum(s.count)-s.p))
	least := math.Log(s.least)
	guess := math.Max(math.Log(s.scale), least)
	low, high := guess-scaleBelow, guess+scaleAbove
	step := math.Max(scaleStep, math.Min(stepsPerSD*sd, 2*scaleStep))
	d := newDensities(s, df)
	for {
		logs, gains := d.scan(math.Max(low, least), high, step)
		if len(gains) == 0 || !num.AllFinite([]float64{floats.Max(gains)}) {
			// Residuals at the edge of double precision.
			return weighing{df: df, evidence: math.Inf(-1), scales: []float64{s.scale}, chances: []float64{1}}
		}
		// Between two grid points the peak may be higher by about this much.
		hidden := step * step / (8 * sd * sd)
		if step <= stepsPerSD*sd || floats.Max(gains)+hidden < most-2*negligible {
			return settle(df, logs, gains, step)
		}
		low, high = around(logs, gains, negligible+2*hidden, step)
		d.forget(2*negligible + 4*hidden)
		step = math.Max(stepsPerSD*sd, step/4)
	}
}

// around is the part of a grid within drop of its peak and a step to each side.
func around(logs, gains []float64, drop, step float64) (low, high float64) {
	peak := floats.Max(gains)
	low, high = math.Inf(1), math.Inf(-1)
	for i, g := range gains {
		if g >= peak-drop {
			low, high = math.Min(low, logs[i]-step), math.Max(high, logs[i]+step)
		}
	}
	return low, high
}

// settle turns gains on a grid into chances.
func settle(df float64, logs, gains []float64, step float64) weighing {
	w := weighing{df: df, evidence: floats.LogSumExp(gains) + math.Log(step)}
	total := 0.0
	for i, g := range gains {
		if c := math.Exp(g + math.Log(step) - w.evidence); c >= leastChance {
			w.scales, w.chances = append(w.scales, math.Exp(logs[i])), append(w.chances, c)
			total += c
		}
	}
	floats.Scale(1/total, w.chances)
	return w
}

// likelyNoise is the noise that the residuals make likeliest, as the distribution
// of a new clean residual, the likeliest of those with long tails, and the chance
// that the tails are long; where the residuals rule that out, the likeliest twice
// and 0.
func likelyNoise(s *spread) (likeliest, long *tailModel, longChance float64) {
	rows := floats.Sum(s.count)
	if !s.binned && len(s.r) > coarseAbove {
		c := *s
		c.binned = true
		c.r, c.count = bins(s.r, s.scale, coarseWidth)
		s = &c
	}
	var weighings [len(noiseKinds)]weighing
	var evidence [len(noiseKinds)]float64
	best, longest := 0, 1
	for k, kind := range noiseKinds {
		weighings[k] = s.weighOne(kind.df, weighings[best].evidence)
		weighings[k].evidence += math.Log(kind.prior)
		evidence[k] = weighings[k].evidence
		if evidence[k] > evidence[best] {
			best = k
		}
		if k > longest && evidence[k] > evidence[longest] {
			longest = k
		}
	}
	likeliest = weighings[best].tails(s.p, rows)
	if long = likeliest; longest != best {
		long = weighings[longest].tails(s.p, rows)
	}
	if all := floats.LogSumExp(evidence[:]); !math.IsInf(all, 0) {
		longChance = math.Min(1, math.Exp(floats.LogSumExp(evidence[1:])-all))
	}
	if longChance < ruledOut {
		return likeliest, likeliest, 0
	}
	return likeliest, long, longChance
}

// tails is the distribution of a new clean residual, p coefficients having been
// fitted to so many rows.
func (w weighing) tails(p, rows float64) *tailModel {
	t := &tailModel{df: w.df}
	for i, scale := range w.scales {
		t.parts = append(t.parts, tailPart{weight: w.chances[i], scale: scale * (1 + scaleBias*p/rows), df: w.df})
	}
	return t
}
