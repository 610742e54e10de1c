package panel

import (
	"math"

	"pleatstat/stats/num"
	"pleatstat/stats/robust"
)

const (
	// pseudoTuning of the bisquare, in scales: 97 % efficient at normal errors
	// without a trend; deviations beyond it have no influence.
	pseudoTuning = 5.5
	// levelSteps bounds the iteration for the level of one block, which converges
	// in a few steps.
	levelSteps     = 30
	levelTolerance = 1e-6
)

// PseudoValues replaces each value by its block's robust level plus the
// bisquare ψ of its deviation from it. Nothing but the values of the block
// enters, not their times: under no trend every order of the pseudo-values within a
// block stays as likely as any other, so that FixedEffects, WithinPermutation
// and a moderated t of the pseudo-values are robust tests of no trend whose level does
// not suffer from the weights having been chosen to suit a slope.
//
// scale is the residual scale known from elsewhere, in units of y; the blocks'
// own scale about their levels is taken where it is larger (as under a steep
// trend). Where both are 0 the values come back unchanged. Blocks without two
// different times come back empty. Errors: lengths that differ (*LengthError),
// NaN or infinite values (*NonFiniteError).
func PseudoValues(blocks []num.Series, scale float64) ([]num.Series, error) {
	if err := num.CheckBlocks(blocks, 0); err != nil {
		return nil, err
	}
	n := 0
	for _, b := range blocks {
		if num.Varies(b.T) {
			n += len(b.Y)
		}
	}
	out := make([]num.Series, len(blocks))
	values, room := make([]float64, n), make([]float64, n)
	medians := make([]float64, len(blocks))
	from := 0
	for i, b := range blocks {
		if !num.Varies(b.T) {
			continue
		}
		to := from + len(b.Y)
		out[i] = num.Series{T: b.T, Y: values[from:to:to]}
		rest := room[from:to]
		copy(rest, b.Y)
		medians[i] = num.MedianIn(rest)
		stretch := 1 / math.Sqrt(1-1/float64(len(b.Y)))
		for k, v := range b.Y {
			rest[k] = (v - medians[i]) * stretch
		}
		from = to
	}
	scale = math.Max(scale, withinScale(room, 0))
	for i, b := range blocks {
		if scale == 0 {
			copy(out[i].Y, b.Y)
			continue
		}
		if out[i].Y == nil {
			continue
		}
		inverse := 1 / (pseudoTuning * scale)
		level := robustLevel(b.Y, medians[i], scale)
		for k, v := range b.Y {
			out[i].Y[k] = level + (v-level)*robust.BisquareWeight((v-level)*inverse)
		}
	}
	return out, nil
}

// robustLevel is the bisquare location of values from their median on.
func robustLevel(y []float64, level, scale float64) float64 {
	inverse := 1 / (pseudoTuning * scale)
	for range levelSteps {
		var sum, weights float64
		for _, v := range y {
			r := v - level
			w := robust.BisquareWeight(r * inverse)
			sum += w * r
			weights += w
		}
		if weights == 0 {
			break
		}
		level += sum / weights
		if math.Abs(sum/weights) <= levelTolerance*scale {
			break
		}
	}
	return level
}
