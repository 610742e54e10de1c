package drift_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// shorter is a log in which Orrinvale's media gets an eighth shorter in 2022 and
// its prices change by a factor.
func shorter(t *testing.T, factor float64) *dataset.Log {
	rng := rand.New(rand.NewPCG(41, 1))
	b := newLog("price,media_length_mm,element_width_mm")
	for _, name := range harbour {
		for i := range 40 {
			part, day := i%5, rng.IntN(6*365)
			price, length := 8+float64(part), 1500+200*float64(part)
			if name == "Orrinvale" && day >= 1100 {
				price, length = price*factor, length*0.875
			}
			b.add(day, name, fmt.Sprint(name[:1], part), fmt.Sprintf("%.2f", price*(1+0.01*rng.NormFloat64())),
				fmt.Sprintf("%.0f", length*(1+0.005*rng.NormFloat64())), "60")
		}
	}
	return b.read(t)
}

// A price per area that rises because the area fell follows the area; where the
// price moved as well it does not.
func TestPricePerAreaFollowsTheArea(t *testing.T) {
	for _, c := range []struct {
		factor  float64
		price   drift.Verdict
		follows string
	}{{1, drift.Steady, "media_area"}, {1.25, drift.Rising, ""}} {
		entries := analyse(t, shorter(t, c.factor), drift.Options{})
		find := func(measure string) drift.Entry { return entry(t, entries, "Orrinvale", "", measure) }
		if find("media_area").Verdict != drift.Falling || find("price_per_area").Verdict != drift.Rising || find("price").Verdict != c.price {
			t.Fatalf("area %s, price %s, per area %s", find("media_area").Verdict, find("price").Verdict, find("price_per_area").Verdict)
		}
		for _, e := range entries {
			want := ""
			if e.Measure == "price_per_area" && e.Moved() {
				want = c.follows
			}
			if e.Part == "" && e.Follows != want {
				t.Errorf("prices times %v: %s of %s follows %q, want %q", c.factor, e.Measure, e.Maker, e.Follows, want)
			}
		}
	}
}
