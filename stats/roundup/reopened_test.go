package roundup

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pleatstat/dataset"
)

// benchOf makes a log of 30 parts opened once a year for five years: each part
// with its own gauge, mass, pleats and price, the noise given, prices rising by 4
// % a year, and a step in gauge in the last year.
func benchOf(t *testing.T, rng *rand.Rand, noise func() float64, gaugeStep func(part int) float64) *bench {
	t.Helper()
	var text strings.Builder
	text.WriteString("opened,maker,part,price,can_gauge_mm,total_mass_g,pleats\n")
	makers := []string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale"}
	for part := range 30 {
		gauge, mass, pleats, price := 0.35+0.2*rng.Float64(), 150+100*rng.Float64(), 45+rng.IntN(30), 5+8*rng.Float64()
		for year := 2022; year <= 2026; year++ {
			g := gauge + 0.006*noise()
			if year == 2026 {
				g += gaugeStep(part)
			}
			fmt.Fprintf(&text, "%d-%02d-10,%s,P-%d,%.2f,%.2f,%.1f,%d\n", year, 1+rng.IntN(12), makers[part%5], part,
				price*math.Exp(0.04*float64(year-2022)+0.03*noise()), g, mass*math.Exp(0.01*noise()), pleats+int(math.Round(0.6*noise())))
		}
	}
	log, err := dataset.Read(strings.NewReader(text.String()), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(log, nil)
	b.year, b.before = 2026, 2025
	return b
}

// Without any change a clear one is reported in about one log of twenty with
// normal noise and one of ten with heavy tails; can gauge changes of 0.05 mm are
// found.
func TestReopenedHoldsItsLevel(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	rng := rand.New(rand.NewPCG(21, 6))
	heavy := func() float64 { // Student's t with 5 degrees of freedom, variance 1
		var chi float64
		for range 5 {
			z := rng.NormFloat64()
			chi += z * z
		}
		return rng.NormFloat64() / math.Sqrt(chi/5) / math.Sqrt(5.0/3)
	}
	const runs = 120
	for _, c := range []struct {
		name  string
		noise func() float64
		limit float64 // share of runs with a clear change; with t(5) noise it is about 0.1
	}{{"normal", rng.NormFloat64, 0.11}, {"heavy tails", heavy, 0.15}} {
		name, noise, wrong := c.name, c.noise, 0
		for range runs {
			r, err := benchOf(t, rng, noise, func(int) float64 { return 0 }).reopened()
			if err != nil {
				t.Fatal(err)
			}
			if r.Products != 30 || r.Comparisons != 120 {
				t.Fatalf("%d products, %d comparisons", r.Products, r.Comparisons)
			}
			for _, c := range r.Changes {
				if c.Clear {
					wrong++
					break
				}
			}
		}
		share := float64(wrong) / runs
		t.Logf("%s: a clear change is told on %.3f of the benches where none was made", name, share)
		if share > c.limit {
			t.Errorf("%s: %.3f, more than %.2f", name, share, c.limit)
		}
	}
	found, made, wrong := 0, 0, 0
	for range 40 {
		r, err := benchOf(t, rng, rng.NormFloat64, func(part int) float64 {
			if part < 4 {
				return -0.05
			}
			return 0
		}).reopened()
		if err != nil {
			t.Fatal(err)
		}
		made += 4
		for _, c := range r.Changes {
			switch {
			case !c.Clear:
			case c.Measure == "can_gauge" && len(c.Part) == 3 && c.Part < "P-4":
				found++
			default:
				wrong++
			}
		}
	}
	t.Logf("0.05 mm: %d of %d found, %d false beside them", found, made, wrong)
	if float64(found) < 0.5*float64(made) || float64(wrong) > 0.1*float64(found) {
		t.Errorf("0.05 mm: %d of %d found, %d false", found, made, wrong)
	}
}
