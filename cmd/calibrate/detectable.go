package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/drift"
	"pleatstat/stats/num"
)

// detectableTable measures how often a change of the size reported as detectable is
// found, and how often the range of the estimated change covers it. Each log is
// simulated twice from the same random numbers: without a change, and with the cans
// of one maker thinning by the yearly change reported as detectable for that maker.
func detectableTable(w io.Writer, sizes []int, runs int, seed uint64) error {
	fmt.Fprintf(w, "The yearly change of can gauge that `drift` calls detectable with a chance of 0.80, planted in the same log (12 makers, 6 parts each); %d logs a line, those left out in which nothing is called detectable. Ranges of the change are of all these logs, found or not.\n\n", runs)
	fmt.Fprintln(w, "| openings | noise | logs | median detectable, mm a year | found (said: 0.80) | range covers it (said: 0.95) |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- |")
	for _, openings := range sizes {
		for _, noise := range filterNoises() {
			o := sim.FilterOptions{Makers: 12, Parts: 6, Openings: openings, Noise: noise, Blanks: 0.15}
			each, err := inParallel(runs, seed, func(rng *rand.Rand) (detected, error) { return detect(o, rng.Uint64()) })
			if err != nil {
				return err
			}
			var t detected
			var sizes []float64
			for _, d := range each {
				if d.logs > 0 {
					sizes = append(sizes, d.perYear)
				}
				t.logs, t.found, t.covered = t.logs+d.logs, t.found+d.found, t.covered+d.covered
			}
			median := "–"
			if len(sizes) > 0 {
				median = fmt.Sprintf("%.4f", num.Median(sizes))
			}
			fmt.Fprintf(w, "| %d | %s | %d | %s | %s | %s |\n", openings, noise, t.logs, median, share(t.found, t.logs), share(t.covered, t.logs))
		}
	}
	return nil
}

// detected is the result of one log, or the counts over many.
type detected struct {
	logs, found, covered int
	perYear              float64 // detectable change of one log, mm a year
}

func detect(o sim.FilterOptions, seed uint64) (detected, error) {
	var d detected
	gauge := func() (drift.Entry, error) {
		log, err := filterLog(o, rand.New(rand.NewPCG(seed, 0)))
		if err != nil {
			return drift.Entry{}, err
		}
		entries, err := drift.Analyse(log.Log, drift.Options{})
		if err != nil {
			return drift.Entry{}, err
		}
		for _, e := range entries {
			if e.Maker == sim.MakerName(0) && e.Part == "" && e.Measure == "can_gauge" {
				return e, nil
			}
		}
		return drift.Entry{Detectable: math.NaN()}, nil
	}
	stated, err := gauge()
	if err != nil || !(stated.Detectable > 0) {
		return d, err
	}
	d.logs, d.perYear = 1, stated.Detectable
	o.Changes = []sim.Change{{Maker: 0, Measure: "can_gauge", PerYear: -stated.Detectable}}
	seen, err := gauge()
	if err != nil {
		return d, err
	}
	if seen.Verdict == drift.Falling {
		d.found = 1
	}
	if seen.Low <= -stated.Detectable && -stated.Detectable <= seen.High {
		d.covered = 1
	}
	return d, nil
}
