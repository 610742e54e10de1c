package trend

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats"
)

// minRepeats is the number of degrees of freedom from which the spread of
// repeated readings says how well the bench measures: the standard deviation is
// then known to about a third.
const minRepeats = 5

// fitBothErrors draws the line that allows for errors of the predictor as well.
// The error of the predictor is that of the bench; the error of the response is
// all that scatters about the line, so that natural variation is not taken for
// an error of the predictor. A predictor read with error flattens a least
// squares line; the difference between the two slopes says by how much.
func (t *Trend) fitBothErrors(log *dataset.Log, x, y []float64, kept []bool) {
	var kx, ky, raw []float64
	for i, keep := range kept {
		if keep {
			kx, ky, raw = append(kx, x[i]), append(ky, y[i]), append(raw, t.Points[i].X)
		}
	}
	share := relativeError(log, t.Predictor)
	sd := share // the error of a logarithm is a share of the value
	if t.Scale == Linear {
		sd = share * stats.Median(raw)
	}
	if !(sd > 0) || !(t.Line.Spread > 0) {
		return
	}
	fit, err := stats.Deming(kx, ky, t.Line.Spread*t.Line.Spread/(sd*sd), confidence)
	if err != nil {
		return // fewer points than a line needs, or none that vary: BothErrors stays NaN
	}
	t.BothErrors = Line{
		Intercept: fit.Intercept, Slope: fit.Slope, SlopeLow: fit.SlopeLow, SlopeHigh: fit.SlopeHigh,
		Spread: math.NaN(), RSquared: math.NaN(), Confidence: confidence,
	}
}

// relativeError is the standard error of one reading of a measure as a share of
// its usual value: the repeatability of the bench where readings were repeated,
// else rounding alone, a step over √12 (JCGM 100:2008, 4.3.7). The factors of
// media area add up in quadrature (JCGM 100:2008, 5.1.6). NaN where neither is
// known, and for other derived measures.
func relativeError(log *dataset.Log, column string) float64 {
	if column == "media_area" {
		if e := math.Hypot(relativeError(log, "media_length"), relativeError(log, "element_width")); !math.IsNaN(e) {
			return e
		}
	}
	usual := stats.Median(slices.DeleteFunc(log.Floats(column), math.IsNaN))
	if repeat := log.Repeatability(column); repeat.DF >= minRepeats && repeat.SD > 0 {
		return repeat.SD / usual
	}
	return log.Resolution(column) / math.Sqrt(12) / usual
}
