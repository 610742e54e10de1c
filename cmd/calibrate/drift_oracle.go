package main

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
)

// stepOracles adds what those who know the noise and see no entry errors make of a
// step: whether a test of every maker finds it, and whether its likeliest date
// is within a year, given the maker.
func (t *driftTally) stepOracles(log *sim.GaugeLog) error {
	p := make([]float64, len(log.Makers))
	planted := 0
	for i, m := range log.Makers {
		at, z, dates := likeliestStep(m.Clean)
		// Bonferroni over the dates: against a step of six standard deviations
		// an exact p would find hardly more.
		p[i] = math.Min(1, 2*float64(dates)*distuv.UnitNormal.CDF(-z))
		if m.Name != log.Truth.Maker {
			continue
		}
		planted = i
		if math.Abs(at-log.Truth.StepAt) <= 1 {
			t.datedKnowing = 1
		}
	}
	q, err := num.BenjaminiHochberg(p)
	if err != nil {
		return err
	}
	if q[planted] <= level {
		t.scanned = 1
	}
	return nil
}

// likeliestStep is the first time at the new level of the likeliest step within
// parts, its size in standard errors of the known noise, and the number of
// dates at which one could lie. NaN, 0 and 0 where no part was opened twice.
func likeliestStep(parts []num.Series) (at, z float64, dates int) {
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
