package trend

import (
	"math"

	"pleatstat/dataset"
	"pleatstat/stats"
)

// minRepeats is the number of degrees of freedom from which the spread of
// repeated readings says how well the bench measures: the standard deviation is
// then known to about a third.
const minRepeats = 5

// fitBothErrors draws the line that allows for errors of the predictor as well,
// where repeated readings of it tell how large they are. The error of the
// predictor is the bench's repeatability; that of the response is all that
// scatters about the line, so that natural variation is not taken for an error
// of the predictor. A predictor read with error flattens a least squares line;
// the difference between the two slopes says by how much.
func (t *Trend) fitBothErrors(log *dataset.Log, x, y []float64, kept []bool) {
	repeat := log.Repeatability(t.Predictor)
	if repeat.DF < minRepeats || !(repeat.SD > 0) || !(t.Line.Spread > 0) {
		return
	}
	var kx, ky, raw []float64
	for i, keep := range kept {
		if keep {
			kx, ky, raw = append(kx, x[i]), append(ky, y[i]), append(raw, t.Points[i].X)
		}
	}
	sd := repeat.SD
	if t.Scale == Log {
		sd /= stats.Median(raw) // an error of the logarithm is a share of the value
	}
	lambda := t.Line.Spread * t.Line.Spread / (sd * sd)
	fit, err := stats.Deming(kx, ky, lambda, confidence)
	if err != nil {
		return // fewer points than a line needs, or none that vary: BothErrors stays NaN
	}
	t.BothErrors = Line{
		Intercept: fit.Intercept, Slope: fit.Slope, SlopeLow: fit.SlopeLow, SlopeHigh: fit.SlopeHigh,
		Spread: math.NaN(), RSquared: math.NaN(), Confidence: confidence,
	}
}
