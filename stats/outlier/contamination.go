package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

const (
	// firstRounds of expectation and maximisation begin a Contamination, and
	// nextRounds follow it to residuals that have moved a little.
	firstRounds = 20
	nextRounds  = 2
	// leastPart is the weight below which a description of the noise is left out.
	leastPart = 0.01
	// leftOutBias: the scale of left-out errors of n clean rows comes out too
	// small by about this over n, because who is clean is judged by the same
	// errors; from simulation.
	leftOutBias = 0.7
	// tailPenalty is what the log likelihood must gain for heavy tails to be
	// believed.
	tailPenalty = 0.5
)

// tailsTried are the degrees of freedom of the noise; infinite is normal.
var tailsTried = [...]float64{math.Inf(1), 6, 4, 3}

// Contamination describes residuals that scatter about 0, normal or heavier in
// the tails, some of which may be shifted up, and few far down: how wide the
// clean ones scatter and how likely each is to be one. It is averaged over which
// of these there are, by likelihood less a penalty.
//
// It is meant for refitting in turn with a regression that weighs rows by it.
// Residuals should be left-out errors over the root of their variance in units
// of the noise: the scale is then free of bias however few the rows.
type Contamination struct {
	kinds []contaminationKind
	parts *tailModel
}

type contaminationKind struct {
	df     float64 // of the noise
	fit    *mixture
	weight float64
}

// contaminations are the rows there may be besides clean ones.
var contaminations = [...]struct {
	sides
	penalty float64
}{
	{sides{noShift, noShift}, 0},
	{sides{fromNear, noShift}, sidePenalty},
	{sides{fromNear, fromFar}, sidePenalty + farPenalty},
}

// NewContamination describes residuals; scale is a guess at the clean ones', and
// it will not come out below least. Both must be positive.
func NewContamination(residuals []float64, scale, least float64) *Contamination {
	s := newSpread(residuals, 0, scale, least)
	var fits []*mixture
	for _, df := range tailsTried {
		for _, of := range contaminations {
			fits = append(fits, newMixture(s, df, of.sides))
		}
	}
	return weighContamination(s, fits, firstRounds)
}

// Follow describes residuals that have moved a little since.
func (c *Contamination) Follow(residuals []float64, least float64) *Contamination {
	s := newSpread(residuals, 0, c.Scale(), least)
	var fits []*mixture
	for _, k := range c.kinds {
		fits = append(fits, k.fit.clone())
	}
	return weighContamination(s, fits, nextRounds)
}

func (m *mixture) clone() *mixture {
	out := *m
	for side, share := range m.share {
		if share != nil {
			out.share[side] = append([]float64(nil), share...)
		}
	}
	return &out
}

// weighContamination improves the fits and weighs them.
func weighContamination(s *spread, fits []*mixture, rounds int) *Contamination {
	c := &Contamination{parts: &tailModel{}}
	gains := make([]float64, len(fits))
	for k, m := range fits {
		for range rounds {
			if m.step(s) <= mixtureMoved {
				break
			}
		}
		gains[k] = m.evidence(s) - contaminations[k%len(contaminations)].penalty
		if !m.noise.normal {
			gains[k] -= tailPenalty
		}
	}
	total, kept := floats.LogSumExp(gains), 0.0
	for k, m := range fits {
		weight := math.Exp(gains[k] - total)
		if weight < leastPart {
			weight = 0
		}
		c.kinds = append(c.kinds, contaminationKind{df: m.noise.df, fit: m, weight: weight})
		kept += weight
	}
	for k := range c.kinds {
		kind := &c.kinds[k]
		if kind.weight == 0 {
			continue
		}
		kind.weight /= kept
		rows := math.Max(kind.fit.rows, 1)
		c.parts.parts = append(c.parts.parts, tailPart{weight: kind.weight,
			scale: kind.fit.scale * (1 + leftOutBias/rows), df: 1 / (1/kind.df + 1/rows)})
	}
	return c
}

// Scale is that of the clean residuals.
func (c *Contamination) Scale() float64 { return c.parts.scale() }

// Clean returns the chance that a residual is a clean one and the weight its row
// should have in a regression: the chance for normal noise, less beyond a few
// scales where tails are heavy.
func (c *Contamination) Clean(residual float64) (chance, weight float64) {
	var each [2][shifts]float64
	scale := c.Scale()
	for _, k := range c.kinds {
		if k.weight == 0 {
			continue
		}
		u := clip(residual / k.fit.scale)
		clean, total := k.fit.densities(u, &each)
		share := k.weight * clean / total
		chance += share
		weight += share * k.fit.noise.weight(u) * scale * scale / (k.fit.scale * k.fit.scale)
	}
	return chance, weight
}

// Above is the chance that a new clean residual is above u.
func (c *Contamination) Above(u float64) float64 {
	if u < 0 {
		return 1 - c.parts.beyond(-u)
	}
	return c.parts.beyond(u)
}

// Quantile is the u for which a new clean residual lies within ±u with the given
// confidence; NaN for one outside (0, 1).
func (c *Contamination) Quantile(confidence float64) float64 { return c.parts.quantile(confidence) }
