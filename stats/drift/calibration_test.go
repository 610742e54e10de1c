package drift_test

import (
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// A small part of the calibration in cmd/calibrate, with fixed seeds, so that the
// outcome does not vary.
func TestCalibration(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	const runs = 80
	for _, noise := range []sim.Noise{sim.Normal, sim.LongTailed, sim.EntryErrors} {
		wrong, found, covered, dated := 0, 0, 0, 0
		for i := range runs {
			rng := rand.New(rand.NewPCG(7, uint64(i)))
			clean, err := sim.NewGaugeLog(sim.GaugeOptions{Noise: noise}, rng)
			if err != nil {
				t.Fatal(err)
			}
			if slices.ContainsFunc(analyse(t, clean.Log, drift.Options{}), named) {
				wrong++
			}
			thin, err := sim.NewGaugeLog(sim.GaugeOptions{Noise: noise, Drift: -0.005}, rng)
			if err != nil {
				t.Fatal(err)
			}
			e := entry(t, analyse(t, thin.Log, drift.Options{}), thin.Truth.Maker, "", "can_gauge")
			if e.Verdict == drift.Falling {
				found++
			}
			if e.Low <= -0.005 && -0.005 <= e.High {
				covered++
			}
			step, err := sim.NewGaugeLog(sim.GaugeOptions{Noise: noise, Step: -0.04}, rng)
			if err != nil {
				t.Fatal(err)
			}
			e = entry(t, analyse(t, step.Log, drift.Options{}), step.Truth.Maker, "", "can_gauge")
			at := time.Date(2019, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(step.Truth.StepAt * 365.25 * 24 * float64(time.Hour)))
			if !e.ChangeFrom.IsZero() && e.ChangeFrom.Sub(at).Abs() < 365*24*time.Hour {
				dated++
			}
		}
		t.Logf("%s: wrong %d, found %d, covered %d, dated %d of %d", noise, wrong, found, covered, dated, runs)
		// Limits with room for chance: 0.05 of 80 is 4, plus two standard errors is
		// 8.
		if wrong > 8 {
			t.Errorf("%s: a verdict in %d of %d logs where nothing changes", noise, wrong, runs)
		}
		if found < runs*93/100 {
			t.Errorf("%s: 0.005 mm a year found in %d of %d logs", noise, found, runs)
		}
		if covered < runs*88/100 {
			t.Errorf("%s: range covers in %d of %d", noise, covered, runs)
		}
		if dated < runs*80/100 {
			t.Errorf("%s: step dated within a year in %d of %d", noise, dated, runs)
		}
	}
}

// In the demo log (invented) Lowmere's cans get thinner by 0.01 mm a year from
// 2022 on and Pellbrook lost five pleats in the middle of 2023; no other maker
// changed either.
func TestDemoLog(t *testing.T) {
	const path = "../../testdata/demo/harbour.csv"
	if _, err := os.Stat(path); err != nil {
		t.Skip("the demo log is not here")
	}
	log, err := dataset.ReadFile(path, dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	entries := analyse(t, log, drift.Options{})
	allowed := map[string][]string{
		"Lowmere":   {"can_gauge", "can_mass", "can_mass_per_area", "total_mass"},
		"Pellbrook": {"pleats", "media_length", "media_area", "element_mass", "price_per_area"},
	}
	for _, e := range entries {
		if named(e) && !slices.Contains(allowed[e.Maker], e.Measure) {
			t.Errorf("%s %s %s: %s", e.Maker, e.Part, e.Measure, e.Verdict)
		}
	}
	gauge := entry(t, entries, "Lowmere", "", "can_gauge")
	if gauge.Verdict != drift.Falling || !gauge.ChangeGradual || gauge.ChangeFrom.Year() < 2021 || gauge.ChangeFrom.Year() > 2022 {
		t.Errorf("Lowmere's gauge: %s, gradual %v, from %v", gauge.Verdict, gauge.ChangeGradual, gauge.ChangeFrom)
	}
	if gauge.ChangePerYear < -0.013 || gauge.ChangePerYear > -0.007 {
		t.Errorf("Lowmere's gauge: %v a year from then on, planted -0.01", gauge.ChangePerYear)
	}
	pleats := entry(t, entries, "Pellbrook", "", "pleats")
	middle := time.Date(2023, 7, 1, 0, 0, 0, 0, time.UTC)
	if pleats.Verdict != drift.Falling || pleats.Step != -5 || pleats.ChangeEarly.After(middle) || pleats.ChangeLate.Before(middle) {
		t.Errorf("Pellbrook's pleats: %s, step %v between %v and %v", pleats.Verdict, pleats.Step, pleats.ChangeEarly, pleats.ChangeLate)
	}
}
