package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// grid lists the scenarios.
func grid(full bool) []scenario {
	sizes, shares, factors := []int{30, 60, 120, 300}, []float64{0.08, 0.20}, []float64{2.2}
	places, noises := []place{anywhere, large}, []noise{normal, tails}
	if full {
		sizes, shares, factors = []int{20, 30, 60, 120, 300, 1000}, []float64{0.02, 0.08, 0.20}, []float64{1.5, 2.2, 3, 4}
		places, noises = []place{anywhere, large, largest}, []noise{normal, tails, skewed}
	}
	var out []scenario
	for _, k := range noises {
		for _, n := range sizes {
			out = append(out, cells(scenario{n: n, noise: k}, places, shares, factors)...)
		}
		out = append(out, cells(scenario{n: 120, noise: k, blanks: blankShare}, places[:1], shares, factors)...)
	}
	return out
}

// ofSizes keeps the scenarios with the sizes listed; all where none is.
func ofSizes(all []scenario, list string) ([]scenario, error) {
	if list == "" {
		return all, nil
	}
	sizes, err := numbersOf(list)
	for _, n := range sizes {
		if !slices.ContainsFunc(all, func(s scenario) bool { return s.n == n }) {
			err = fmt.Errorf("no logs of %d parts are simulated", n)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("-sizes %q: want sizes of the grid with commas between them, such as 60,120: %w", list, err)
	}
	return slices.DeleteFunc(slices.Clone(all), func(s scenario) bool { return !slices.Contains(sizes, s.n) }), nil
}

// cells are one log with nothing planted and those with every share planted at
// every place, at every factor.
func cells(s scenario, places []place, shares, factors []float64) []scenario {
	out := []scenario{s}
	for _, p := range places {
		for _, share := range shares {
			for _, factor := range factors {
				s.place, s.share, s.factor = p, share, factor
				if s.toPlant() >= 1 {
					out = append(out, s)
				}
			}
		}
	}
	return out
}

// printEach prints a line for each scenario.
func printEach(stdout io.Writer, grid []scenario, simulate func(scenario) (flagTally, error)) error {
	fmt.Fprintln(stdout, "| n | overpriced | factor | where | noise | false discovery rate | any false flag | power | counting long tails: rate | any false flag | power | oracle: rate | oracle: power | power / oracle | range 80 % | range 95 % | slope 95 % |")
	fmt.Fprintln(stdout, strings.Repeat("| --- ", 17)+"|")
	for _, s := range grid {
		t, err := simulate(s)
		if err != nil {
			return err
		}
		fmt.Fprintln(stdout, s.String()+t.String())
	}
	return nil
}

// printGroups prints a line for all factors together: the highest rates, the
// power at each factor, and the least and most coverage.
func printGroups(stdout io.Writer, grid []scenario, simulate func(scenario) (flagTally, error)) error {
	fmt.Fprintln(stdout, "| noise | n | overpriced | where | false discovery rate | counting long tails | power / oracle at ×1.5 | ×2.2 | ×3 | ×4 | range 80 % | range 95 % | slope 95 % |")
	fmt.Fprintln(stdout, strings.Repeat("| --- ", 13)+"|")
	for len(grid) > 0 {
		first := grid[0]
		var tallies []flagTally
		for len(grid) > 0 && grid[0].but() == first.but() {
			t, err := simulate(grid[0])
			if err != nil {
				return err
			}
			tallies = append(tallies, t)
			grid = grid[1:]
		}
		fmt.Fprintln(stdout, first.group()+groupOf(tallies))
	}
	return nil
}

// but is the scenario but for its factor.
func (s scenario) but() scenario {
	s.factor = 0
	return s
}

// group names all factors of a scenario together.
func (s scenario) group() string {
	if s.share == 0 {
		return fmt.Sprintf("| %s | %s | none | ", s.noise, s.rows())
	}
	return fmt.Sprintf("| %s | %s | %.0f %% | %s ", s.noise, s.rows(), 100*s.share, s.place)
}

func groupOf(tallies []flagTally) string {
	rate, firm, ratios := 0.0, 0.0, ""
	low, high := [3]float64{1, 1, 1}, [3]float64{}
	for _, t := range tallies {
		rate, firm = math.Max(rate, t.found.rate), math.Max(firm, t.firm.rate)
		if t.planted {
			ratios += fmt.Sprintf("| %.2f ", t.found.power/t.oracle.power)
		}
		for k, c := range [3]float64{t.in80, t.in95, t.slope} {
			low[k], high[k] = math.Min(low[k], c), math.Max(high[k], c)
		}
	}
	if ratios == "" {
		ratios = "| | | | "
	}
	covered := ""
	for k := range low {
		if len(tallies) == 1 {
			covered += fmt.Sprintf("| %.3f ", low[k])
		} else {
			covered += fmt.Sprintf("| %.3f to %.3f ", low[k], high[k])
		}
	}
	return fmt.Sprintf("| %.3f | %.3f %s%s|", rate, firm, ratios, covered)
}

// flagTally is what one log, or the mean of many, came to.
type flagTally struct {
	found             score // clear flags
	firm              score // those that are clear counting the chance of long tails too
	oracle            score
	in80, in95, slope float64
	planted           bool
}

func (t flagTally) String() string {
	power, firm, oracle, ratio := "| ", "| ", "| ", "| "
	if t.planted {
		power = fmt.Sprintf("| %.3f ", t.found.power)
		firm = fmt.Sprintf("| %.3f ", t.firm.power)
		oracle = fmt.Sprintf("| %.3f ", t.oracle.power)
		ratio = fmt.Sprintf("| %.2f ", t.found.power/t.oracle.power)
	}
	return fmt.Sprintf("| %.3f | %.3f %s| %.3f | %.3f %s| %.3f %s%s| %.3f | %.3f | %.3f |",
		t.found.rate, t.found.anyFalse, power, t.firm.rate, t.firm.anyFalse, firm, t.oracle.rate, oracle, ratio, t.in80, t.in95, t.slope)
}

// score is what flags are worth: the share of false ones among them, whether
// there is any, and the share of planted parts found.
type score struct{ rate, anyFalse, power float64 }

func (s *score) add(t score, weight float64) {
	s.rate += weight * t.rate
	s.anyFalse += weight * t.anyFalse
	s.power += weight * t.power
}
