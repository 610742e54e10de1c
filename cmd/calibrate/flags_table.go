package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/calibrate/sim"
)

// grid returns the scenarios: the main ones, or all.
func grid(full bool) []sim.Scenario {
	sizes, shares, factors, places := []int{60, 120, 300}, []float64{0.08}, []float64{2.2}, []sim.Place{sim.Anywhere}
	if full {
		sizes, shares, factors = []int{15, 30, 60, 120, 300, 1000}, []float64{0.02, 0.08, 0.20}, []float64{1.5, 2.2, 3}
		places = append(places, sim.Large)
	}
	var out []sim.Scenario
	for _, k := range sim.Shapes {
		shares := shares
		if k == sim.NormalPrices {
			shares = []float64{0.02, 0.08, 0.20}
		}
		for _, n := range sizes {
			out = append(out, cells(sim.Scenario{N: n, Shape: k}, places, shares, factors)...)
		}
		if full {
			out = append(out, cells(sim.Scenario{N: 120, Shape: k, Blanks: sim.BlankShare}, places[:1], shares, factors)...)
		}
	}
	return out
}

// cells returns the scenario s with no overpriced parts and with every combination of
// place, share and factor that gives at least one overpriced part.
func cells(s sim.Scenario, places []sim.Place, shares, factors []float64) []sim.Scenario {
	out := []sim.Scenario{s}
	for _, p := range places {
		for _, share := range shares {
			for _, factor := range factors {
				s.Place, s.Share, s.Factor = p, share, factor
				if s.Planted() >= 1 {
					out = append(out, s)
				}
			}
		}
	}
	return out
}

// ofSizes returns the scenarios with the sizes in list, such as "60,120"; all of them
// if list is empty.
func ofSizes(all []sim.Scenario, list string) ([]sim.Scenario, error) {
	if list == "" {
		return all, nil
	}
	sizes, err := numbersOf(list)
	for _, n := range sizes {
		if !slices.ContainsFunc(all, func(s sim.Scenario) bool { return s.N == n }) {
			err = fmt.Errorf("no logs of %d parts are simulated", n)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("-sizes %q: want sizes of the grid with commas between them, such as 60,120: %w", list, err)
	}
	return slices.DeleteFunc(slices.Clone(all), func(s sim.Scenario) bool { return !slices.Contains(sizes, s.N) }), nil
}

// ofKinds returns the scenarios of markets whose name begins with name.
func ofKinds(all []sim.Scenario, name string) ([]sim.Scenario, error) {
	out := slices.DeleteFunc(slices.Clone(all), func(s sim.Scenario) bool { return !strings.HasPrefix(string(s.Shape), name) })
	if len(out) == 0 {
		return nil, fmt.Errorf("-market %q: want one of %v or its beginning", name, sim.Shapes)
	}
	return out, nil
}

// printTable simulates each scenario and prints its line.
func printTable(stdout io.Writer, grid []sim.Scenario, simulate func(sim.Scenario) (flagTally, error)) error {
	fmt.Fprintln(stdout, "| market | n | overpriced | where | clear: false discovery rate | logs with a false one | power | clear or probable: rate | logs | power | oracle: rate | power | range 80 % | range 95 % | slope 95 % |")
	fmt.Fprintln(stdout, strings.Repeat("| --- ", 15)+"|")
	for _, s := range grid {
		t, err := simulate(s)
		if err != nil {
			return err
		}
		fmt.Fprintln(stdout, cellsOf(s)+t.String())
	}
	return nil
}

// cellsOf returns the first cells of a scenario's line.
func cellsOf(s sim.Scenario) string {
	rows := fmt.Sprint(s.N)
	if s.Blanks > 0 {
		rows = fmt.Sprintf("%d, %.0f %% blank", s.N, 100*s.Blanks)
	}
	if s.Share == 0 {
		return fmt.Sprintf("| %s | %s | none | ", s.Shape, rows)
	}
	return fmt.Sprintf("| %s | %s | %.0f %% at ×%g | %s ", s.Shape, rows, 100*s.Share, s.Factor, s.Place)
}

// flagTally is the result of one log, or the mean over many.
type flagTally struct {
	clear, either, oracle score   // either: clear or probable
	in80, in95, slope     float64 // coverage of the prediction ranges and of the range of the slope
	planted               bool    // some parts are overpriced
}

func (t *flagTally) add(o flagTally, weight float64) {
	t.clear.add(o.clear, weight)
	t.either.add(o.either, weight)
	t.oracle.add(o.oracle, weight)
	t.in80 += weight * o.in80
	t.in95 += weight * o.in95
	t.slope += weight * o.slope
}

func (t flagTally) String() string {
	power := func(s score) string {
		if !t.planted {
			return "| "
		}
		return fmt.Sprintf("| %.2f ", s.power)
	}
	return fmt.Sprintf("| %.3f | %.3f %s| %.3f | %.3f %s| %.3f %s| %.3f | %.3f | %.3f |",
		t.clear.rate, t.clear.anyFalse, power(t.clear), t.either.rate, t.either.anyFalse, power(t.either),
		t.oracle.rate, power(t.oracle), t.in80, t.in95, t.slope)
}

// score is the quality of the flags of one log, or the mean over many: the share
// of false flags among them, 1 if there is a false one, and the share of
// overpriced parts found.
type score struct{ rate, anyFalse, power float64 }

func (s *score) add(t score, weight float64) {
	s.rate += weight * t.rate
	s.anyFalse += weight * t.anyFalse
	s.power += weight * t.power
}

// scoreOf compares the flags with the parts that are overpriced.
func scoreOf(planted []bool, flagged func(i int) bool) score {
	var right, wrong, all, anyFalse float64
	for i, bad := range planted {
		if bad {
			all++
		}
		switch {
		case !flagged(i):
		case bad:
			right++
		default:
			wrong, anyFalse = wrong+1, 1
		}
	}
	return score{wrong / math.Max(1, right+wrong), anyFalse, right / math.Max(1, all)}
}
