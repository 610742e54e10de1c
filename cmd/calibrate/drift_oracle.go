package main

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/cmd/calibrate/baseline"
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
		at, z, dates := baseline.LikeliestStep(m.Clean)
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
