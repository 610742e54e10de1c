package main

import (
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
)

func TestFlagsTableDoesNotDependOnCores(t *testing.T) {
	s := sim.Scenario{N: 40, Share: 0.1, Factor: 2.2, Place: sim.Large, Shape: sim.GammaUp}
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	one, err := simulateFlags(s, 12, 3)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	four, err := simulateFlags(s, 12, 3)
	if err != nil {
		t.Fatal(err)
	}
	if one != four {
		t.Errorf("one core: %v, four: %v", one, four)
	}
	if one.oracle.power < 0.2 || one.in95 < 0.8 {
		t.Errorf("implausible: %v", one)
	}
}

func TestScenariosPlantWhatTheySay(t *testing.T) {
	for _, s := range grid(true) {
		if s.N > 120 || s.Blanks > 0 {
			continue
		}
		all, err := inParallel(3, 1, func(rng *rand.Rand) (sim.Sample, error) { return s.Sample(rng), nil })
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range all {
			planted := 0
			for _, bad := range m.Planted {
				if bad {
					planted++
				}
			}
			if want := int(s.Share*float64(s.N) + 0.5); planted != want {
				t.Errorf("%v: %d planted, want %d", s, planted, want)
			}
			for i, bad := range m.Planted {
				if bad && s.Place == sim.Large && m.Area[i] < num.Median(m.Area) {
					t.Errorf("%v: a planted part is not among the largest third", s)
				}
			}
		}
	}
}

func TestBlanksLeavePartsOut(t *testing.T) {
	s := sim.Scenario{N: 200, Share: 0.2, Factor: 2.2, Place: sim.Anywhere, Shape: sim.NormalPrices, Blanks: sim.BlankShare}
	all, err := inParallel(50, 1, func(rng *rand.Rand) (sim.Sample, error) { return s.Sample(rng), nil })
	if err != nil {
		t.Fatal(err)
	}
	left, planted := 0.0, 0.0
	for _, m := range all {
		left += float64(len(m.Area)) / 50
		for _, bad := range m.Planted {
			if bad {
				planted += 1.0 / 50
			}
		}
		if len(m.Price) != len(m.Area) || len(m.Planted) != len(m.Area) {
			t.Fatalf("%d areas, %d prices, %d marks", len(m.Area), len(m.Price), len(m.Planted))
		}
	}
	// Three standard errors of the means of 50 logs.
	if left < 137 || left > 143 || planted < 26.8 || planted > 29.2 {
		t.Errorf("%.1f parts left of 200, %.1f of 40 planted ones; want about 140 and 28", left, planted)
	}
}

// The deviations of each kind of market must have mean 0, standard deviation 1
// and the skewness that its name gives.
func TestMarketsScatterAsTheySay(t *testing.T) {
	const n = 200_000
	for k, want := range map[sim.Shape]float64{sim.NormalPrices: 0, sim.TailedPrices: 0, sim.SkewedUp: 0.5, sim.SkewedDown: -0.5, sim.GammaUp: 1} {
		rng := rand.New(rand.NewPCG(4, 4))
		r := make([]float64, n)
		for i := range r {
			r[i] = k.Deviation(rng)
		}
		mean, sd := stat.MeanStdDev(r, nil)
		skewness := stat.Skew(r, nil)
		if k == sim.TailedPrices {
			skewness = 0 // the skewness of a sample has no variance without a sixth moment
		}
		if math.Abs(mean) > 0.02 || math.Abs(sd-1) > 0.02 || math.Abs(skewness-want) > 0.06 {
			t.Errorf("%s: mean %.3f, standard deviation %.3f, skewness %.3f; want 0, 1, %.1f", k, mean, sd, skewness, want)
		}
	}
}

func TestTableHasALineForEveryScenario(t *testing.T) {
	var table strings.Builder
	tally := func(s sim.Scenario) (flagTally, error) {
		return flagTally{clear: score{power: s.Factor / 10}, planted: s.Share > 0, in80: 0.8, in95: 0.95, slope: 0.95}, nil
	}
	if err := printTable(&table, grid(true), tally); err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimSpace(table.String()), "\n")
	if got, want := len(rows), 2+len(grid(true)); got != want {
		t.Errorf("%d lines, want %d", got, want)
	}
	if line := "| normal | 60 | 8 % at ×2.2 | anywhere | 0.000 | 0.000 | 0.22 |"; !strings.Contains(table.String(), line) {
		t.Errorf("no line %q in\n%s", line, table.String())
	}
	for _, row := range rows {
		if strings.Count(row, "|") != strings.Count(rows[0], "|") {
			t.Errorf("columns of %q differ from those of the head", row)
		}
	}
}

func TestRunNamesTheHarnesses(t *testing.T) {
	var out strings.Builder
	if err := run([]string{"rust"}, &out); err == nil || !strings.Contains(err.Error(), "flags") {
		t.Errorf("unknown harness: %v", err)
	}
	if err := run(nil, &out); err == nil {
		t.Error("nothing asked for is not an error")
	}
	if err := run([]string{"flags", "-runs", "0"}, &out); err == nil {
		t.Error("no runs is not an error")
	}
	for _, sizes := range []string{"61", "60,", "sixty"} {
		if err := run([]string{"flags", "-sizes", sizes}, &out); err == nil || !strings.Contains(err.Error(), "-sizes") {
			t.Errorf("sizes %q: %v", sizes, err)
		}
	}
	if err := run([]string{"flags", "-market", "rusty"}, &out); err == nil || !strings.Contains(err.Error(), "normal") {
		t.Errorf("unknown market: %v", err)
	}
	some, err := ofSizes(grid(true), "30, 120")
	if err != nil || len(some) == 0 {
		t.Fatalf("%d scenarios, %v", len(some), err)
	}
	for _, s := range some {
		if s.N != 30 && s.N != 120 {
			t.Errorf("sizes 30 and 120 leave %v", s)
		}
	}
}
