package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/outlier"
	"pleatstat/stats/trend"
)

const (
	// A flag is clear at this false discovery rate and at least this far above
	// the line, as in the report.
	flagRate  = trend.FalseDiscoveryRate
	flagRatio = trend.LeastShare
	// fresh parts, clean ones, are drawn for each log to see how many fall in
	// their prediction ranges.
	fresh = 20
)

// runFlags measures the screen behind the flags: its false discovery rate,
// power and coverage on simulated logs, beside an oracle that knows which parts
// are clean.
func runFlags(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("flags", flag.ContinueOnError)
	flags.SetOutput(stdout)
	runs := flags.Int("runs", 400, "simulated logs for each line of the table")
	seed := flags.Uint64("seed", 1, "seed of the logs")
	full := flags.Bool("full", false, "the full grid, a line for all factors together, instead of a few cells")
	sizes := flags.String("sizes", "", "only logs of these many parts, such as 60,120")
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
	fmt.Fprintf(stdout, "%d logs a line; simulation error of a rate of 0.05: %.3f.\n\n", *runs, math.Sqrt(0.05*0.95/float64(*runs)))
	print := printEach
	if *full {
		print = printGroups
	}
	return print(stdout, scenarios, func(s scenario) (flagTally, error) { return s.simulate(*runs, *seed) })
}

// simulate runs the scenario and takes the means.
func (s scenario) simulate(runs int, seed uint64) (flagTally, error) {
	each, err := inParallel(runs, seed, s.once)
	if err != nil {
		return flagTally{}, err
	}
	var sum flagTally
	for _, t := range each {
		sum.found.add(t.found, 1/float64(runs))
		sum.firm.add(t.firm, 1/float64(runs))
		sum.oracle.add(t.oracle, 1/float64(runs))
		sum.in80 += t.in80 / float64(runs)
		sum.in95 += t.in95 / float64(runs)
		sum.slope += t.slope / float64(runs)
	}
	sum.planted = s.share > 0
	return sum, nil
}

// once draws one log and judges it.
func (s scenario) once(rng *rand.Rand) (flagTally, error) {
	m := s.draw(rng)
	design := linear.Design{Names: []string{"area"}, Columns: [][]float64{m.area}}
	screened, err := outlier.Screen(design, m.price, outlier.ScreenOptions{})
	if err != nil {
		return flagTally{}, err
	}
	var t flagTally
	clear := func(i int) bool {
		return screened.QHigh[i] <= flagRate && screened.Residual[i] >= math.Log(flagRatio)
	}
	t.found = m.score(clear)
	t.firm = m.score(func(i int) bool {
		return clear(i) && outlier.CountingLongTails(screened.QHigh[i], screened.LongTailed.QHigh[i], screened.LongTailChance) <= flagRate
	})
	q, err := m.oracle()
	if err != nil {
		return flagTally{}, err
	}
	t.oracle = m.score(func(i int) bool { return q[i] <= flagRate })
	clean := scenario{n: 1, noise: s.noise}
	for range fresh {
		one := clean.draw(rng)
		t.in80 += inside(screened, one, 0.80) / fresh
		t.in95 += inside(screened, one, 0.95) / fresh
	}
	if low, high := screened.SlopeRange(1, 0.95); low <= trueSlope && trueSlope <= high {
		t.slope = 1
	}
	return t, nil
}

// score compares flags with what was planted.
func (m shelf) score(flagged func(i int) bool) score {
	var right, wrong, planted, anyFalse float64
	for i, bad := range m.planted {
		if bad {
			planted++
		}
		switch {
		case !flagged(i):
		case bad:
			right++
		default:
			wrong++
		}
	}
	if wrong > 0 {
		anyFalse = 1
	}
	return score{wrong / math.Max(1, right+wrong), anyFalse, right / math.Max(1, planted)}
}

// oracle returns the q-values of somebody who knows which parts are clean:
// least squares on those, one-sided prediction residuals for all.
func (m shelf) oracle() ([]float64, error) {
	var area, price []float64
	for i, bad := range m.planted {
		if !bad {
			area, price = append(area, m.area[i]), append(price, m.price[i])
		}
	}
	f, err := linear.LeastSquares(linear.Design{Names: []string{"area"}, Columns: [][]float64{area}}, price)
	if err != nil {
		return nil, err
	}
	p := make([]float64, len(m.planted))
	k := 0
	for i, bad := range m.planted {
		if bad {
			fit, se := f.PredictionSE([]float64{m.area[i]})
			p[i] = upperTail((m.price[i]-fit)/se, f.DF)
		} else {
			p[i] = upperTail(f.Deleted[k], f.DF-1)
			k++
		}
	}
	return num.BenjaminiHochberg(p)
}

// inside is 1 where a part lies in its prediction range.
func inside(s *outlier.Screened, m shelf, confidence float64) float64 {
	_, low, high := s.PredictionRange([]float64{m.area[0]}, confidence)
	if low <= m.price[0] && m.price[0] <= high {
		return 1
	}
	return 0
}

func upperTail(t float64, df int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.CDF(-t)
}
