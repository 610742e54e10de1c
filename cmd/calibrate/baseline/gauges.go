package baseline

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/rank"
)

// Oracle returns the two-sided p-value of the slope of a maker's gauges within
// parts, from readings without entry errors and with the standard deviation of
// the noise known; 1 if there is no slope to estimate.
func Oracle(m sim.MakerGauges) float64 {
	f, err := panel.FixedEffects(m.Clean)
	if err != nil {
		return 1
	}
	z := f.Slope * math.Sqrt(f.Information) / sim.ReadingSD()
	return 2 * distuv.UnitNormal.CDF(-math.Abs(z))
}

// StraightLine returns the p-value of the slope of one line through all openings
// of a maker; 1 if there is no slope to estimate.
func StraightLine(m sim.MakerGauges) float64 {
	var all num.Series
	for _, b := range m.Parts {
		all.T, all.Y = append(all.T, b.T...), append(all.Y, b.Y...)
	}
	f, err := panel.FixedEffects([]num.Series{all})
	if err != nil {
		return 1
	}
	return f.P()
}

// Kendall returns the p-value of Kendall's test with the parts as blocks, by the
// usual normal approximation; 1 if the test cannot be computed.
func Kendall(m sim.MakerGauges) float64 {
	r, err := rank.BlockedKendall(m.Parts)
	if err != nil {
		return 1
	}
	return r.P
}

// LikeliestStep returns the most likely step common to all parts, given the
// standard deviation of the noise: the time of the first opening after it, its
// absolute size in standard errors, and the number of possible dates. It returns
// NaN, 0 and 0 if no date divides the openings of a part.
func LikeliestStep(parts []num.Series) (at, z float64, dates int) {
	var times []float64
	for _, b := range parts {
		times = append(times, b.T...)
	}
	slices.Sort(times)
	at = math.NaN()
	for _, date := range slices.Compact(times) {
		var cross, information float64
		for _, b := range parts {
			var n, sum [2]float64
			for i, y := range b.Y {
				side := 0
				if b.T[i] >= date {
					side = 1
				}
				n[side]++
				sum[side] += y
			}
			if n[0] > 0 && n[1] > 0 {
				w := n[0] * n[1] / (n[0] + n[1])
				information += w
				cross += w * (sum[1]/n[1] - sum[0]/n[0])
			}
		}
		if information == 0 {
			continue
		}
		dates++
		if here := math.Abs(cross) / math.Sqrt(information) / sim.ReadingSD(); here > z {
			at, z = date, here
		}
	}
	return at, z, dates
}
