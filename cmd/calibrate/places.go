package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/roundup"
)

// bySize returns a harness that writes a table with the number of logs for each
// line, the seed and the sizes of logs given by its flags; runs and sizes are the
// defaults.
func bySize(name string, runs int, sizes string, write func(w io.Writer, openings []int, runs int, seed uint64) error) func(args []string, stdout io.Writer) error {
	return func(args []string, stdout io.Writer) error {
		flags := flag.NewFlagSet(name, flag.ContinueOnError)
		flags.SetOutput(stdout)
		runs := flags.Int("runs", runs, "logs simulated for each line of the table")
		seed := flags.Uint64("seed", 1, "seed of the logs")
		list := flags.String("openings", sizes, "openings of the logs")
		page := pageFlag(flags)
		if err := flags.Parse(args); err != nil {
			return err
		}
		openings, err := numbersOf(*list)
		if err != nil {
			return fmt.Errorf("-openings %q: want numbers of openings, such as 60,1000", *list)
		}
		return page.write(name, args, *seed, stdout, func(w io.Writer) error { return write(w, openings, *runs, *seed) })
	}
}

// yearlyLog returns the options of a log of eight makers with six parts each, or
// two if it has fewer than 100 openings.
func yearlyLog(openings int, noise sim.Noise) sim.FilterOptions {
	o := sim.FilterOptions{Makers: 8, Parts: 6, Openings: openings, Noise: noise, Blanks: 0.1}
	if openings < 100 {
		o.Parts = 2
	}
	return o
}

// eachYearly calls visit for each size and noise, without and with something planted.
func eachYearly(sizes []int, visit func(o sim.FilterOptions, plant bool) error) error {
	for _, openings := range sizes {
		for _, noise := range filterNoises() {
			for _, plant := range []bool{false, true} {
				if err := visit(yearlyLog(openings, noise), plant); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// lastYear simulates a log and builds the roundup of its last year.
func lastYear(o sim.FilterOptions, rng *rand.Rand) (*sim.FilterLog, *roundup.Roundup, error) {
	log, err := filterLog(o, rng)
	if err != nil {
		return nil, nil, err
	}
	r, err := roundup.Build(context.Background(), log.Log, roundup.Options{Seed: 1})
	return log, r, err
}

// placesTable measures how often the ranges of places cover the true places.
func placesTable(w io.Writer, sizes []int, runs int, seed uint64) error {
	fmt.Fprintf(w, "Ranges of places in the roundup of the last year: can gauge, media area, pleat depth and price of the media; %d logs a line. True places are those of the parts as made in the middle of that year.\n\n", runs)
	fmt.Fprintln(w, "| openings | noise | planted | tables | whole tables right (bar 0.95) | places inside | mean width, of the table |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- |")
	return eachYearly(sizes, func(o sim.FilterOptions, plant bool) error {
		words := "nothing changes"
		if plant {
			o.Changes = append(changesOf(2, "can_gauge", -0.01, 0), sim.Change{Maker: 2, Measure: "pleats", Step: -5, StepAt: 3})
			words = "two makers thin their cans, one drops pleats"
		}
		each, err := inParallel(runs, seed, func(rng *rand.Rand) (placesTally, error) { return judgePlaces(o, rng) })
		if err != nil {
			return err
		}
		var t placesTally
		for _, e := range each {
			t.tables += e.tables
			t.right += e.right
			t.places += e.places
			t.inside += e.inside
			t.width += e.width
		}
		fmt.Fprintf(w, "| %d | %s | %s | %d | %s | %s | %.2f |\n", o.Openings, o.Noise, words, t.tables, share(t.right, t.tables), share(t.inside, t.places), t.width/math.Max(1, float64(t.tables)))
		return nil
	})
}

// placesTally counts over tables. width is the sum over tables of the mean width
// of the ranges as a fraction of the places of the table.
type placesTally struct {
	tables, right, places, inside int
	width                         float64
}

func judgePlaces(o sim.FilterOptions, rng *rand.Rand) (placesTally, error) {
	var t placesTally
	log, r, err := lastYear(o, rng)
	if err != nil {
		return t, err
	}
	for _, table := range r.Tables {
		if table.TooFew || table.Measure == "" || table.N < 5 {
			continue
		}
		truth := make([]float64, len(table.Places))
		for i, p := range table.Places {
			truth[i] = log.Find(p.Maker, p.Part).Changed(o.Changes, sim.Years-0.5).Truth(table.Measure, 0)
			if table.LowFirst {
				truth[i] = -truth[i]
			}
		}
		right, sum := true, 0.0
		for i, p := range table.Places {
			first, last := 1, len(truth) // true places, which ties share
			for _, v := range truth {
				if v > truth[i] {
					first++
				}
				if v < truth[i] {
					last--
				}
			}
			t.places++
			if p.RankLow <= last && first <= p.RankHigh {
				t.inside++
			} else {
				right = false
			}
			sum += float64(p.RankHigh-p.RankLow+1) / float64(len(truth))
		}
		t.tables++
		t.width += sum / float64(len(truth))
		if right {
			t.right++
		}
	}
	return t, nil
}
