package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime/debug"
	"strings"

	"pleatstat/cmd/calibrate/baseline"
	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/outlier"
	"pleatstat/stats/robust"
	"pleatstat/stats/trend"
)

const (
	// A flag is counted at this false discovery rate if the price is at least
	// flagRatio times that of the line, as in the report.
	flagRate  = trend.FalseDiscoveryRate
	flagRatio = trend.LeastShare
	// fresh is the number of clean parts simulated besides each log, to measure
	// the coverage of prediction ranges.
	fresh = 20
)

// runFlags measures the false discovery rate, power and coverage of the model behind
// the flags on simulated logs, and those of an oracle that knows which parts are
// clean and assumes normal scatter.
func runFlags(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("flags", flag.ContinueOnError)
	flags.SetOutput(stdout)
	runs := flags.Int("runs", 400, "simulated logs for each line of the table")
	seed := flags.Uint64("seed", 1, "seed of the logs")
	full := flags.Bool("full", false, "the full grid, all factors, shares and places, instead of the key cells")
	sizes := flags.String("sizes", "", "only logs of these many parts, such as 60,120")
	market := flags.String("market", "", "only the market of this name, or all with this beginning")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *runs < 1 {
		return fmt.Errorf("-runs is %d, want 1 or more", *runs)
	}
	scenarios, err := ofSizes(grid(*full), *sizes)
	if err != nil {
		return err
	}
	if scenarios, err = ofKinds(scenarios, *market); err != nil {
		return err
	}
	fmt.Fprintf(stdout, "# Error rates of flags\n\n    calibrate flags %s\n\nSeed %d, commit %s; %d logs a line; two simulation errors of a rate of %g: %.3f. Overpriced parts are told above the line, by %g times at least; power is the share of them found. The oracle knows which parts are clean and believes in normal scatter.\n\n",
		strings.Join(args, " "), *seed, commit(), *runs, flagRate, 2*math.Sqrt(flagRate*(1-flagRate)/float64(*runs)), flagRatio)
	return printTable(stdout, scenarios, func(s sim.Scenario) (flagTally, error) { return simulateFlags(s, *runs, *seed) })
}

// commit returns the commit that the program was built from, "unknown" if the build
// does not record it.
func commit() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				return s.Value[:min(len(s.Value), 12)]
			}
		}
	}
	return "unknown"
}

// simulateFlags judges a number of logs of a scenario and returns the mean tally.
func simulateFlags(s sim.Scenario, runs int, seed uint64) (flagTally, error) {
	each, err := inParallel(runs, seed, func(rng *rand.Rand) (flagTally, error) { return judgeScenario(s, rng) })
	if err != nil {
		return flagTally{}, err
	}
	sum := flagTally{planted: s.Share > 0}
	for _, t := range each {
		sum.add(t, 1/float64(runs))
	}
	return sum, nil
}

// judgeScenario simulates one log and judges it.
func judgeScenario(s sim.Scenario, rng *rand.Rand) (flagTally, error) {
	s.Fresh = fresh
	m := s.Sample(rng)
	j, err := judgeSample(m.Area, m.Price)
	if err != nil {
		return flagTally{}, err
	}
	var t flagTally
	flagged := func(q []float64) func(int) bool {
		return func(i int) bool { return q[i] <= flagRate && j.residual[i] >= math.Log(flagRatio) }
	}
	clear, probable := flagged(j.clear), flagged(j.probable)
	t.clear = scoreOf(m.Planted, clear)
	t.either = scoreOf(m.Planted, func(i int) bool { return clear(i) || probable(i) })
	q, err := baseline.Flags(m)
	if err != nil {
		return flagTally{}, err
	}
	t.oracle = scoreOf(m.Planted, func(i int) bool { return q[i] <= flagRate })
	for i, price := range m.FreshPrice {
		above := j.above(m.FreshArea[i], price)
		t.in80 += inside(above, 0.80) / fresh
		t.in95 += inside(above, trend.Confidence) / fresh
	}
	if j.slopeLow <= sim.TrueSlope && sim.TrueSlope <= j.slopeHigh {
		t.slope = 1
	}
	return t, nil
}

// judged is the fit of the model to a log. Slices have one entry for each part.
type judged struct {
	residual            []float64
	clear, probable     []float64 // q-values for being above the line
	slopeLow, slopeHigh float64
	above               func(area, price float64) float64 // probability that the price of a clean part is higher
}

func judgeSample(area, price []float64) (judged, error) {
	design := linear.Design{Names: []string{"area"}, Columns: [][]float64{area}}
	robust, err := robust.RobustLine(design, price, robust.RobustOptions{})
	if err != nil {
		return judged{}, err
	}
	m, err := outlier.Fit(design.Columns, price, outlier.Start{Fitted: robust.Fitted, Scale: robust.Scale})
	if err != nil {
		return judged{}, err
	}
	clear, probable, err := m.High.Q()
	if err != nil {
		return judged{}, err
	}
	j := judged{residual: m.Residual, clear: clear, probable: probable}
	j.slopeLow, j.slopeHigh = m.Interval(1, trend.Confidence)
	j.above = func(area, price float64) float64 { return m.Above([]float64{area}, price) }
	return j, nil
}

// inside returns 1 if a value is in its prediction range, 0 otherwise; above is the
// probability of a higher value.
func inside(above, confidence float64) float64 {
	return number(math.Abs(above-0.5) <= confidence/2)
}
