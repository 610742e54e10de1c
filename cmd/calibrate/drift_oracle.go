package main

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/cmd/calibrate/baseline"
	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
)

// stepOracles adds the findings of two oracles, which know the standard deviation of
// the noise and see no entry errors: whether a test of every maker for a step finds
// the one simulated, and whether its most likely date is within a year of the true
// one if the maker is known.
func (t *driftTally) stepOracles(log *sim.GaugeLog) error {
	p := make([]float64, len(log.Makers))
	planted := 0
	for i, m := range log.Makers {
		at, z, dates := baseline.LikeliestStep(m.Clean)
		// Bonferroni correction over the dates. The steps of the table are of six
		// standard deviations; an exact p-value would hardly find more of them.
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
