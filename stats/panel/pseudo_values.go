package panel

import (
	"math"

	"pleatstat/stats/num"
	"pleatstat/stats/robust"
)

const (
	// pseudoTuning is the tuning constant of the bisquare, in scales: 97 % efficient
	// at normal errors without a trend. Deviations beyond it have no influence.
	pseudoTuning = 5.5
	// levelSteps limits the iteration for the level of a block, which converges in
	// a few steps; levelTolerance is in scales.
	levelSteps     = 30
	levelTolerance = 1e-6
)

// PseudoValues replaces each value by the robust level of its block plus the
// bisquare ψ of its deviation from that level. The times do not enter, so that
// without a trend all orders of the pseudo-values within a block remain equally
// likely. FixedEffects, WithinPermutation and a moderated t of the pseudo-values
// are therefore robust tests for a trend that keep their level, since the weights
// were not fitted to a slope.
//
// scale is a known residual scale, in units of y; the scale of the blocks about
// their own levels is used if it is larger, as under a steep trend. If both are 0,
// the values are returned unchanged. Blocks without two different times are
// returned empty. Errors: lengths that differ (*LengthError), NaN or infinite
// values (*NonFiniteError).
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

// robustLevel returns the bisquare location of values, iterated from their median.
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
