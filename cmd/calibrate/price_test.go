package main

import (
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
)

func TestPriceTableDoesNotDependOnCores(t *testing.T) {
	o := sim.MarketOptions{Rows: 40, Blanks: 0.3, Overpriced: 0.1, Matter: true, Seed: 2}
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	one, err := simulatePrices(o, 4)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	four, err := simulatePrices(o, 4)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(one, four) {
		t.Errorf("one core: %v, four: %v", one, four)
	}
	if n := len(one.model); n < 100 || len(one.rule) != n || one.in95 < one.in80 || one.in95 > n {
		t.Errorf("implausible: %d prices, %d in the 80 %% range, %d in the 95 %% range", n, one.in80, one.in95)
	}
	// No method can be nearer than the rule itself, whose error is the scatter of
	// the products. The median absolute value of a normal deviate is 0.674 standard
	// deviations.
	rule, want := num.Median(one.rule), 0.674*sim.Scatter
	if math.Abs(rule-want) > 0.25*want || num.Median(one.model) < rule {
		t.Errorf("the rule misses by %.3f, want about %.3f; the model by %.3f", rule, want, num.Median(one.model))
	}
}

func TestPriceTableHasItsLines(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	var out strings.Builder
	if err := runPrice([]string{"-rows", "40", "-openings", "40", "-table-only"}, &out); err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimSpace(out.String()), "\n")[2:]
	if len(rows) != 2+18 {
		t.Errorf("%d lines, want a head and 18", len(rows))
	}
	for _, row := range rows {
		if strings.Count(row, "|") != strings.Count(rows[0], "|") {
			t.Errorf("columns of %q differ from those of the head", row)
		}
	}
	if err := runPrice([]string{"-rows", "forty"}, &out); err == nil || !strings.Contains(err.Error(), "-rows") {
		t.Errorf("-rows forty: %v", err)
	}
}
