package drift_test

import (
	"math"
	"testing"
	"time"

	"pleatstat/stats/drift"
)

// A step is found where a slope cannot show it: late, with most openings before
// it, so that the line is nearly level. It is reported with its direction and
// date.
func TestStepThatNoLineTells(t *testing.T) {
	log := gauges(13, 40, func(m, p int, at float64) float64 {
		if harbour[m] == "Orrinvale" && at > 5.1 {
			return level(p) - 0.05
		}
		return level(p)
	}).read(t)
	entries := analyse(t, log, drift.Options{})
	for _, e := range entries {
		if e.Part == "" && e.Maker != "Orrinvale" && (named(e) || e.AsStep) {
			t.Errorf("%s: %s (q %.3g)", e.Maker, e.Verdict, e.Q)
		}
	}
	e := entry(t, entries, "Orrinvale", "", "can_gauge")
	if e.Verdict != drift.Falling || !e.AsStep || e.SlopeP < 0.01 || e.P > 0.005 {
		t.Errorf("%s, as a step %v, p %v, of the slope %v", e.Verdict, e.AsStep, e.P, e.SlopeP)
	}
	at := time.Date(2024, time.February, 10, 0, 0, 0, 0, time.UTC)
	if e.ChangeGradual || e.ChangeFrom.Sub(at).Abs() > 120*24*time.Hour || math.Abs(e.Step+0.05) > 0.01 {
		t.Errorf("step %v from %v, gradual %v; want -0.05 from %v", e.Step, e.ChangeFrom, e.ChangeGradual, at)
	}
}

// A single slip of the pen is not a step, not even in a part opened twice.
func TestSlipIsNoStep(t *testing.T) {
	slips := 0
	log := gauges(12, 24, func(m, p int, at float64) float64 {
		if p == 2 && at > 4 && slips < 4 {
			slips++
			return level(p) - 0.15
		}
		return level(p)
	}).read(t)
	if slips == 0 {
		t.Fatal("no slip was written")
	}
	for _, e := range analyse(t, log, drift.Options{}) {
		if named(e) {
			t.Errorf("%s %s: %s (q %.3g)", e.Maker, e.Part, e.Verdict, e.Q)
		}
	}
}
