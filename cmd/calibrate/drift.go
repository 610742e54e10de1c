package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"

	"golang.org/x/sync/errgroup"

	"pleatstat/cmd/calibrate/sim"
)

// runDrift measures on simulated logs how often a change of a maker is found, and how
// often one is reported where nothing changed.
func runDrift(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("drift", flag.ContinueOnError)
	flags.SetOutput(stdout)
	runs := flags.Int("runs", 2000, "logs simulated for each line of the tables")
	seed := flags.Uint64("seed", 1, "seed of the logs")
	slopes := flags.Bool("slopes", true, "the table of slopes")
	steps := flags.Bool("steps", true, "the table of steps")
	weekly := flags.Int("weekly", 200, "logs looked at every week for two years; 0 leaves that table out")
	logs := flags.Int("logs", 500, "whole logs of all measures; 0 leaves them out")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *slopes {
		if err := driftTable(stdout, *runs, *seed); err != nil {
			return err
		}
	}
	if *steps {
		if err := stepTable(stdout, *runs, *seed); err != nil {
			return err
		}
	}
	if *weekly > 0 {
		if err := weeklyTable(stdout, *weekly, *seed); err != nil {
			return err
		}
	}
	if *logs > 0 {
		return cleanTable(stdout, *logs, *seed)
	}
	return nil
}

// noises returns the kinds of scatter of the tables on gauges.
func noises() []sim.Noise { return []sim.Noise{sim.Normal, sim.LongTailed, sim.EntryErrors} }

// driftTable writes the table of false verdicts, power and coverage for slopes.
func driftTable(stdout io.Writer, runs int, seed uint64) error {
	fmt.Fprintf(stdout, "Chance of any false verdict in a log, of finding the one maker that thins its cans, and how often the 95 %% range of its slope covers the truth; %d logs a line. The oracle is a normal test within parts that knows the noise and sees no entry errors.\n\n", runs)
	fmt.Fprintln(stdout, "| log | noise | mm a year | verdict on any other maker: drift | oracle | straight line | blocked Kendall | found: drift | oracle | straight line | blocked Kendall | drift / oracle | range covers |")
	fmt.Fprintln(stdout, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, b := range []struct {
		name string
		o    sim.GaugeOptions
	}{
		{"12 makers, 30 openings of 6 parts", sim.GaugeOptions{}},
		{"8 to 40 makers, uneven", sim.GaugeOptions{Makers: -1, Uneven: true}},
		{"the same, scatter differs by maker", sim.GaugeOptions{Makers: -1, Uneven: true, Differ: 0.3}},
	} {
		for _, noise := range noises() {
			for _, slope := range []float64{0, -0.003, -0.005} {
				o := b.o
				o.Noise, o.Drift = noise, slope
				t, err := simulate(o, runs, seed)
				if err != nil {
					return err
				}
				fmt.Fprintf(stdout, "| %s | %s | %g %s\n", b.name, noise, slope, t.cells(slope != 0))
			}
		}
	}
	return nil
}

// stepTable writes the table of how often a step is found and how well it is dated.
func stepTable(stdout io.Writer, runs int, seed uint64) error {
	fmt.Fprintf(stdout, "\nA step of 0.04 mm in one maker's cans, somewhere in the middle three of six years; %d logs a line. Both oracles know the noise and see no entry errors: the one tests every maker for a step at any date, the other knows which maker changed, and that it was one step, and dates it.\n\n", runs)
	fmt.Fprintln(stdout, "| log | noise | verdict on any other maker | found: drift | of that by the step | oracle | dated within a year: drift | oracle | of those found | range covers the date | range of the step covers 0.04 mm |")
	fmt.Fprintln(stdout, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, uneven := range []bool{false, true} {
		for _, noise := range noises() {
			o := sim.GaugeOptions{Noise: noise, Step: -0.04, Uneven: uneven}
			name := "12 makers, 30 openings of 6 parts"
			if uneven {
				name, o.Makers = "8 to 40 makers, uneven", -1
			}
			t, err := simulate(o, runs, seed)
			if err != nil {
				return err
			}
			found := t.found[methodDrift]
			fmt.Fprintf(stdout, "| %s | %s | %s | %s | %s | %s | %s | %s | %s | %s | %s |\n", name, noise, share(t.any[methodDrift], t.runs),
				share(found, t.runs), share(t.byStep, t.runs), share(t.scanned, t.runs), share(t.dated, t.runs), share(t.datedKnowing, t.runs),
				share(t.dated, found), share(t.dateCovered, t.steps), share(t.stepCovered, t.steps))
		}
	}
	return nil
}

// weeklyTable writes the table of false verdicts if the tool is run every week.
func weeklyTable(stdout io.Writer, runs int, seed uint64) error {
	fmt.Fprintf(stdout, "\nLooked at every week for the last two of six years, nothing changes (12 makers, 30 openings of 6 parts); %d logs.\n\n", runs)
	fmt.Fprintln(stdout, "| a verdict at the last look | at any of the looks | at five looks in a row |")
	fmt.Fprintln(stdout, "| --- | --- | --- |")
	looks, err := lookWeekly(runs, seed)
	if err != nil {
		return err
	}
	fmt.Fprintf(stdout, "| %s | %s | %s |\n", share(looks.last, runs), share(looks.any, runs), share(looks.held, runs))
	return nil
}

func share(k, n int) string {
	if n == 0 {
		return "–"
	}
	return fmt.Sprintf("%.3f", float64(k)/float64(n))
}

// inParallel is like inOrder but gives every run a random generator of its own.
func inParallel[T any](runs int, seed uint64, work func(rng *rand.Rand) (T, error)) ([]T, error) {
	return inOrder(runs, func(k int) (T, error) { return work(rand.New(rand.NewPCG(seed, uint64(k)))) })
}

// inOrder calls work for the numbers from 0 to runs-1 on all cores and returns the
// results in this order, so that no figure depends on the number of cores.
func inOrder[T any](runs int, work func(k int) (T, error)) ([]T, error) {
	out := make([]T, runs)
	var tasks errgroup.Group
	tasks.SetLimit(runtime.GOMAXPROCS(0))
	for k := range runs {
		tasks.Go(func() (err error) {
			out[k], err = work(k)
			return err
		})
	}
	return out, tasks.Wait()
}

const (
	methodDrift = iota
	methodOracle
	methodLine
	methodKendall
	methods
)

// driftTally is the result of one log, each count 0 or 1, or the sum over many.
type driftTally struct {
	runs                     int
	any, found               [methods]int // logs with a verdict on a maker that does not change; on the one that does
	covered                  int          // the range of the slope covers the true slope
	byStep                   int          // found by the test for a step
	steps, dated             int          // reported as a step; dated within a year of the true date
	scanned, datedKnowing    int          // found by the scanning oracle; dated by the one that knows the maker
	dateCovered, stepCovered int
}

func (t driftTally) cells(planted bool) string {
	var s string
	for _, k := range t.any {
		s += "| " + share(k, t.runs) + " "
	}
	for _, k := range t.found {
		if !planted {
			s += "| – "
			continue
		}
		s += "| " + share(k, t.runs) + " "
	}
	ratio := "–"
	if planted && t.found[methodOracle] > 0 {
		ratio = fmt.Sprintf("%.2f", float64(t.found[methodDrift])/float64(t.found[methodOracle]))
	}
	return s + "| " + ratio + " | " + share(t.covered, t.runs) + " |"
}

// simulate judges a number of logs of one setting.
func simulate(o sim.GaugeOptions, runs int, seed uint64) (driftTally, error) {
	each, err := inParallel(runs, seed, func(rng *rand.Rand) (driftTally, error) { return judgeGauges(o, rng) })
	total := driftTally{runs: runs}
	for _, t := range each {
		for m := range methods {
			total.any[m] += t.any[m]
			total.found[m] += t.found[m]
		}
		total.covered += t.covered
		total.byStep += t.byStep
		total.scanned += t.scanned
		total.datedKnowing += t.datedKnowing
		total.steps += t.steps
		total.dated += t.dated
		total.dateCovered += t.dateCovered
		total.stepCovered += t.stepCovered
	}
	return total, err
}

func within(low, v, high float64) bool { return low <= v && v <= high && !math.IsNaN(low) }
