package roundup

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestNoiseIgnoresDriftAndSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	b := &bench{year: 3000}
	var values []float64
	for k := range 40 {
		var p product
		for j := range 5 {
			p.openings = append(p.openings, len(values))
			when := 2019 + 1.4*float64(j)
			v := 0.006*rng.NormFloat64() + 0.02*(when-2019) // a rise common to all
			if k < 4 && j >= 3 {
				v -= 0.15 // a step in four parts
			}
			b.rows = append(b.rows, opening{product: k, when: when})
			values = append(values, v)
		}
		b.products = append(b.products, p)
	}
	// The four steps are limited to three scales each, so the noise is slightly
	// overestimated.
	if n := b.noiseOf(values, Noise{SD: math.NaN()}); n.SD < 0.0057 || n.SD > 0.0073 || n.Pairs != 160 {
		t.Errorf("noise %.5f from %d pairs, planted 0.006", n.SD, n.Pairs)
	}
	if n := b.noiseOf(values, Noise{SD: 0.05, DF: 3}); n.SD != 0.05 {
		t.Errorf("noise %.5f below what the bench repeats", n.SD)
	}
}
