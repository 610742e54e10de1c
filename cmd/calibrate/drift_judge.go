package main

import (
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"pleatstat/cmd/calibrate/baseline"
	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

// level is the false discovery rate, over the makers, of every method.
const level = trend.FalseDiscoveryRate

// judgeGauges simulates one log and judges it by every method.
func judgeGauges(o sim.GaugeOptions, rng *rand.Rand) (driftTally, error) {
	log, err := sim.NewGaugeLog(o, rng)
	if err != nil {
		return driftTally{}, err
	}
	entries, err := drift.Analyse(log.Log, drift.Options{Measures: []string{"can_gauge"}})
	if err != nil {
		return driftTally{}, err
	}
	var t driftTally
	changes := o.Drift != 0 || o.Step != 0
	for _, e := range entries {
		verdict := e.Moved()
		switch {
		case !changes || e.Maker != log.Truth.Maker:
			if verdict {
				t.any[methodDrift] = 1
			}
		case e.Part == "" && verdict:
			t.found[methodDrift] = 1
			if e.AsStep {
				t.byStep = 1
			}
			t.date(e, log.Truth, o.Step)
		}
		if e.Part == "" && e.Maker == log.Truth.Maker && within(e.Low, o.Drift, e.High) {
			t.covered = 1
		}
	}
	if o.Step != 0 {
		if err := t.stepOracles(log); err != nil {
			return t, err
		}
	}
	for method, p := range map[int]func(sim.MakerGauges) float64{methodOracle: baseline.Oracle, methodLine: baseline.StraightLine, methodKendall: baseline.Kendall} {
		if err := t.count(method, log, p, changes); err != nil {
			return t, err
		}
	}
	return t, nil
}

// count adds the findings of a method that returns a p-value for each maker.
func (t *driftTally) count(method int, log *sim.GaugeLog, p func(sim.MakerGauges) float64, changes bool) error {
	all := make([]float64, len(log.Makers))
	for i, m := range log.Makers {
		all[i] = p(m)
	}
	q, err := num.BenjaminiHochberg(all)
	if err != nil {
		return err
	}
	for i, m := range log.Makers {
		switch {
		case q[i] > level:
		case changes && m.Name == log.Truth.Maker:
			t.found[method] = 1
		default:
			t.any[method] = 1
		}
	}
	return nil
}

// date adds the date and size found for a step, in mm. It does nothing if no step
// was simulated or the change was not dated.
func (t *driftTally) date(e drift.Entry, truth sim.GaugeTruth, step float64) {
	if step == 0 || e.ChangeFrom.IsZero() {
		return
	}
	at := time.Date(2019, time.January, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(truth.StepAt * 365.25 * 24 * float64(time.Hour)))
	const year = 365 * 24 * time.Hour
	if e.ChangeFrom.Sub(at).Abs() <= year {
		t.dated = 1
	}
	if e.ChangeGradual {
		return
	}
	t.steps = 1
	if !at.Before(e.ChangeEarly) && !at.After(e.ChangeLate.AddDate(0, 0, 1)) {
		t.dateCovered = 1
	}
	if within(e.StepLow-1e-9, step, e.StepHigh+1e-9) {
		t.stepCovered = 1
	}
}

// weeklyLooks counts logs with a verdict at the last look, at any look, and at more
// than holdWeeks looks in a row.
type weeklyLooks struct{ last, any, held int }

const (
	lookWeeks = 104
	holdWeeks = 4
)

// lookWeekly analyses every log as it was at the end of each of the last lookWeeks
// weeks and at its end.
func lookWeekly(runs int, seed uint64) (weeklyLooks, error) {
	each, err := inParallel(runs, seed, func(rng *rand.Rand) (weeklyLooks, error) {
		log, err := sim.NewGaugeLog(sim.GaugeOptions{}, rng)
		if err != nil {
			return weeklyLooks{}, err
		}
		var w weeklyLooks
		since := 0 // looks in a row with a verdict
		for week := lookWeeks; week >= 0; week-- {
			found, err := lookAt(log, time.Date(2024, time.December, 31, 0, 0, 0, 0, time.UTC).AddDate(0, 0, -7*week))
			if err != nil {
				return w, err
			}
			if since++; !found {
				since = 0
			}
			if found {
				w.any = 1
			}
			if since > holdWeeks {
				w.held = 1
			}
			if week == 0 && found {
				w.last = 1
			}
		}
		return w, nil
	})
	var total weeklyLooks
	for _, w := range each {
		total.last += w.last
		total.any += w.any
		total.held += w.held
	}
	return total, err
}

// lookAt reports whether there is a verdict on the log up to a day.
func lookAt(log *sim.GaugeLog, day time.Time) (bool, error) {
	lines := strings.SplitAfter(log.Text, "\n")
	kept := slices.DeleteFunc(lines[1:], func(line string) bool { return line == "" || line[:len(time.DateOnly)] > day.Format(time.DateOnly) })
	until, err := dataset.Read(strings.NewReader(lines[0]+strings.Join(kept, "")), "bench.csv", dataset.Options{})
	if err != nil {
		return false, err
	}
	entries, err := drift.Analyse(until, drift.Options{Measures: []string{"can_gauge"}})
	return anyVerdict(entries), err
}

func anyVerdict(entries []drift.Entry) bool {
	return slices.ContainsFunc(entries, drift.Entry.Moved)
}
