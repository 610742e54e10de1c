package trend

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// minRepeats is the least number of degrees of freedom from which the
// repeatability of a measurement is estimated: its standard deviation is then
// known to about a third.
const minRepeats = 5

// fitBothErrors fits the Deming line, which allows for measurement error in the
// predictor. The error variance of the predictor is that of its readings; the
// error variance of the response is the rest of the residual variance, so that
// natural variation does not count as error of the predictor. Error in the
// predictor flattens a least squares slope; the difference between the two slopes
// shows by how much.
func (t *Trend) fitBothErrors(log *dataset.Log, x, y []float64, kept []bool) {
	var kx, ky, raw []float64
	openings := 0
	for i, keep := range kept {
		if keep {
			kx, ky, raw = append(kx, x[i]), append(ky, y[i]), append(raw, t.Points[i].X)
			openings += t.Points[i].N
		}
	}
	if openings == 0 {
		return
	}
	share := relativeError(log, t.Predictor)
	sd := share // the error of a logarithm is a relative error
	if t.Scale == Linear {
		sd = share * num.Median(raw)
	}
	ofX := sd * sd * float64(len(kx)) / float64(openings) // a point is the mean of its openings
	// The residual variance includes the predictor's error as well.
	ofY := t.Line.Spread*t.Line.Spread - t.Line.Slope*t.Line.Slope*ofX
	if !(ofX > 0) || !(ofY > 0) {
		return
	}
	fit, err := linear.Deming(kx, ky, ofY/ofX, Confidence)
	if err != nil {
		return // too few points, or none that vary: BothErrors stays NaN
	}
	t.BothErrors = Line{
		Intercept: fit.Intercept, Slope: fit.Slope, SlopeLow: fit.SlopeLow, SlopeHigh: fit.SlopeHigh,
		Spread: math.NaN(), RSquared: math.NaN(), Confidence: Confidence,
	}
}

// relativeError returns the standard error of one entry of a measure, relative to
// the measure's median: the repeatability of repeated readings divided by the
// root of the mean number of readings per entry, or else the rounding error
// alone, step/√12 (JCGM 100:2008, 4.3.7). For media area the errors of length and
// width add in quadrature (JCGM 100:2008, 5.1.6). NaN where neither is known, and
// for other derived measures.
func relativeError(log *dataset.Log, column string) float64 {
	if column == "media_area" {
		if e := math.Hypot(relativeError(log, "media_length"), relativeError(log, "element_width")); !math.IsNaN(e) {
			return e
		}
	}
	values := slices.DeleteFunc(log.Floats(column), math.IsNaN)
	usual := num.Median(values)
	if repeat := log.Repeatability(column); repeat.DF >= minRepeats && repeat.SD > 0 {
		readings := float64(len(values)-repeat.Cells+repeat.Readings) / float64(len(values))
		return repeat.SD / math.Sqrt(readings) / usual
	}
	return log.Resolution(column) / math.Sqrt(12) / usual
}
