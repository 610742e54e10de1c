package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
)

// filterNoises returns the kinds of scatter of the tables on whole filters.
func filterNoises() []sim.Noise { return []sim.Noise{sim.Normal, sim.LongTailed, sim.Slips} }

// filterLog simulates a log and sets physically impossible values aside, as every
// command does.
func filterLog(o sim.FilterOptions, rng *rand.Rand) (*sim.FilterLog, error) {
	log, err := sim.NewFilterLog(o, rng)
	if err != nil {
		return nil, err
	}
	checked, err := check.Run(log.Log, check.Options{})
	if err != nil {
		return nil, err
	}
	log.Log = log.SetAside(checked.SetAside)
	return log, nil
}

// changesOf returns the same change of one measure for each of the first makers of a
// log; a step falls after three years.
func changesOf(makers int, measure string, perYear, step float64) []sim.Change {
	var out []sim.Change
	for m := range makers {
		out = append(out, sim.Change{Maker: m, Measure: measure, PerYear: perYear, Step: step, StepAt: 3})
	}
	return out
}

// makersTable measures on logs of all measures how many of the makers reported for a
// change have changed nothing, and how often those that did are found.
func makersTable(w io.Writer, sizes []int, runs int, seed uint64) error {
	fmt.Fprintf(w, "Makers named for a change in whole logs of all measures (12 makers; 6 parts each, 2 in the smallest logs; six years); %d logs a line. Innocent: of all makers named, those that changed nothing (± two simulation errors). Found: of the makers that changed, those named for the measure that did.\n\n", runs)
	fmt.Fprintln(w, "| openings | noise | makers changing | by | makers named | innocent, of those named | share innocent | bar | logs with an innocent one | found | innocent measures of guilty makers |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, openings := range sizes {
		for _, noise := range filterNoises() {
			for _, plan := range []struct {
				makers  int
				words   string
				measure string
				perYear float64
				step    float64
			}{
				{0, "–", "", 0, 0},
				{1, "gauge, 0.01 mm a year", "can_gauge", -0.01, 0},
				{3, "gauge, 0.01 mm a year", "can_gauge", -0.01, 0},
				{1, "gauge, 0.005 mm a year", "can_gauge", -0.005, 0},
				{1, "five pleats at once", "pleats", 0, -5},
				{3, "five pleats at once", "pleats", 0, -5},
			} {
				o := sim.FilterOptions{Makers: 12, Parts: 6, Openings: openings, Noise: noise, Blanks: 0.15,
					Changes: changesOf(plan.makers, plan.measure, plan.perYear, plan.step)}
				if openings < 100 {
					o.Parts = 2
				}
				t, err := judgeMakers(o, runs, seed)
				if err != nil {
					return err
				}
				fmt.Fprintf(w, "| %d | %s | %d | %s | %s\n", openings, noise, plan.makers, plan.words, t.cells(plan.makers*runs))
			}
		}
	}
	return nil
}

// makersTally is the result of one log, or the sum over many; named, innocent and
// found count makers, sideMeasures measures of changed makers that did not
// change.
type makersTally struct{ logs, named, innocent, wrongLogs, found, sideMeasures int }

func (t makersTally) cells(guilty int) string {
	bar := "–"
	if t.named > 0 {
		bar = fmt.Sprintf("%.3f", level+2*math.Sqrt(level*(1-level)/float64(t.named)))
	}
	return fmt.Sprintf("%d | %d | %s | %s | %s | %s | %d |", t.named, t.innocent, share(t.innocent, t.named), bar,
		share(t.wrongLogs, t.logs), share(t.found, guilty), t.sideMeasures)
}

// follows lists the measures that change with a planted one.
var follows = map[string][]string{
	"can_gauge": {"can_gauge", "can_mass", "can_mass_per_area", "total_mass"},
	"pleats":    {"pleats", "media_area", "media_length", "element_mass", "total_mass", "price_per_area", "price"},
}

func judgeMakers(o sim.FilterOptions, runs int, seed uint64) (makersTally, error) {
	each, err := inParallel(runs, seed, func(rng *rand.Rand) (makersTally, error) {
		log, err := filterLog(o, rng)
		if err != nil {
			return makersTally{}, err
		}
		entries, err := drift.Analyse(log.Log, drift.Options{})
		if err != nil {
			return makersTally{}, err
		}
		return tallyMakers(o, entries), nil
	})
	total := makersTally{logs: runs}
	for _, t := range each {
		total.named += t.named
		total.innocent += t.innocent
		total.wrongLogs += t.wrongLogs
		total.found += t.found
		total.sideMeasures += t.sideMeasures
	}
	return total, err
}

func tallyMakers(o sim.FilterOptions, entries []drift.Entry) makersTally {
	guilty := map[string]string{}
	for _, c := range o.Changes {
		guilty[sim.MakerName(c.Maker)] = c.Measure
	}
	var t makersTally
	named, found := map[string]bool{}, map[string]bool{}
	for _, e := range entries {
		if !e.Moved() {
			continue
		}
		named[e.Maker] = true
		measure, is := guilty[e.Maker]
		switch {
		case is && e.Measure == measure && e.Verdict == drift.Falling:
			found[e.Maker] = true
		case is && !slices.Contains(follows[measure], e.Measure):
			t.sideMeasures++
		}
	}
	t.named, t.found = len(named), len(found)
	for m := range named {
		if guilty[m] == "" {
			t.innocent++
		}
	}
	if t.innocent > 0 {
		t.wrongLogs = 1
	}
	return t
}
