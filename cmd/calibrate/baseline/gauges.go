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

// Oracle tests the slope of a maker's gauges within parts with the noise known, on
// readings without entry errors.
func Oracle(m sim.MakerGauges) float64 {
	f, err := panel.FixedEffects(m.Clean)
	if err != nil {
		return 1
	}
	z := f.Slope * math.Sqrt(f.Information) / sim.ReadingSD()
	return 2 * distuv.UnitNormal.CDF(-math.Abs(z))
}

// StraightLine tests the slope of a line through all openings of a maker.
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

// Kendall is the blocked test by its normal limit, as it is usually taken.
func Kendall(m sim.MakerGauges) float64 {
	r, err := rank.BlockedKendall(m.Parts)
	if err != nil {
		return 1
	}
	return r.P
}

// LikeliestStep is the first time at the new level of the likeliest step within
// parts, its size in standard errors of the known noise, and the number of
// dates at which one could lie. NaN, 0 and 0 where no part was opened twice.
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
