package main

import (
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
)

// In logs with 8 % of the products at about twice their price most of these must
// be found, and about as many honest prices as expected must be outside their
// range.
func TestVerdictsAreMeasured(t *testing.T) {
	sum, err := verdictCell{shape: sim.NormalPrices, rows: 60, overpriced: 0.08}.simulate(3, 1)
	if err != nil {
		t.Fatal(err)
	}
	if sum.planted < 3 || sum.parts < 100 {
		t.Fatalf("%v planted among %v honest ones: the logs are not as they should be", sum.planted, sum.parts)
	}
	if found := sum.found[1] / sum.planted; found < 0.7 {
		t.Errorf("%.2f of those planted are found, want nearly all", found)
	}
	if sum.found[0] > sum.found[1] || sum.falseShare[0] > sum.falseShare[1] {
		t.Errorf("clear is more than clear or probable: %+v", sum)
	}
	if rate := sum.outside / sum.parts; rate > 0.15 {
		t.Errorf("%.2f of honest prices lie outside their range, want about 0.05", rate)
	}
}

func TestVerdictsSayWhatIsWrong(t *testing.T) {
	for _, args := range [][]string{{"-runs", "0"}, {"-rows", "many"}} {
		if err := runVerdicts(args, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), "-rows") {
			t.Errorf("%v: error %v, want one that names what is wanted", args, err)
		}
	}
}
