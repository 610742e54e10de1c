package roundup

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// ranked draws a bench of products with the given true values, opened n times
// each, and returns what a table sees.
func ranked(rng *rand.Rand, truth []float64, n int, sd float64) []standing {
	s := make([]standing, len(truth))
	for i, v := range truth {
		s[i] = standing{value: v + sd/math.Sqrt(float64(n))*rng.NormFloat64(), n: n}
	}
	return s
}

// normalNoise is a noise estimated from pairs of openings.
func normalNoise(rng *rand.Rand, pairs int, sd float64) Noise {
	b := &bench{year: 1}
	values := make([]float64, 0, 2*pairs)
	for k := range pairs {
		b.products = append(b.products, product{openings: []int{2 * k, 2*k + 1}})
		for j := range 2 {
			b.rows = append(b.rows, opening{product: k, when: 0.1 * float64(j)})
			values = append(values, sd*rng.NormFloat64())
		}
	}
	return b.noiseOf(values, Noise{SD: math.NaN()})
}

// trueRanks gives each value its best and worst true place (ties share).
func trueRanks(truth []float64) (best, worst []int) {
	best, worst = make([]int, len(truth)), make([]int, len(truth))
	for i, v := range truth {
		best[i], worst[i] = 1, len(truth)
		for k, w := range truth {
			if w > v {
				best[i]++
			}
			if w < v && k != i {
				worst[i]--
			}
		}
	}
	return best, worst
}

// All ranges of a table hold together in at least 95 of 100 tables, whatever
// the true values are drawn from.
func TestRankRangesHold(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates many logs")
	}
	const runs, p = 400, 14
	for _, c := range []struct {
		name  string
		truth func(rng *rand.Rand, i int) float64
	}{
		{"normal, as wide as the noise", func(rng *rand.Rand, _ int) float64 { return rng.NormFloat64() }},
		{"normal, five times the noise", func(rng *rand.Rand, _ int) float64 { return 5 * rng.NormFloat64() }},
		{"evenly spread", func(rng *rand.Rand, _ int) float64 { return 6 * rng.Float64() }},
		{"skewed", func(rng *rand.Rand, _ int) float64 { return 2 * rng.ExpFloat64() }},
		{"two groups", func(rng *rand.Rand, _ int) float64 { return 10*float64(rng.IntN(2)) + rng.NormFloat64() }},
		{"one far ahead", func(rng *rand.Rand, i int) float64 { return 30*float64(i/(p-1)) + 2*rng.NormFloat64() }},
	} {
		rng := rand.New(rand.NewPCG(7, 7))
		all, held, width, ends := 0, 0, 0, 0
		for run := range runs {
			truth := make([]float64, p)
			for i := range truth {
				truth[i] = c.truth(rng, i)
			}
			best, _ := trueRanks(truth)
			s := ranked(rng, truth, 1+run%3, 1)
			low, high := rankRanges(s, normalNoise(rng, 40, 1), 1000, rng)
			right := true
			for i := range s {
				width += high[i] - low[i] + 1
				if low[i] <= best[i] && best[i] <= high[i] {
					held++
				} else {
					right = false
				}
				if best[i] == 1 && low[i] == 1 {
					ends++
				}
			}
			if right {
				all++
			}
		}
		t.Logf("%s: whole tables right %.3f, places %.4f, true first among the leaders %.3f, mean width %.1f of %d", c.name,
			float64(all)/runs, float64(held)/runs/p, float64(ends)/runs, float64(width)/runs/p, p)
		// 0.95 less two simulation errors.
		if share := float64(all) / runs; share < 0.95-2*math.Sqrt(0.95*0.05/runs) {
			t.Errorf("%s: only %.3f of the tables hold every true place", c.name, share)
		}
	}
}

func TestRankRangesProperties(t *testing.T) {
	noise := Noise{SD: 1, DF: 50}
	far := []standing{{value: 0, n: 1}, {value: 100, n: 1}, {value: 50, n: 2}}
	low, high := rankRanges(far, noise, 500, rand.New(rand.NewPCG(1, 1)))
	if !slices.Equal(low, []int{3, 1, 2}) || !slices.Equal(high, []int{3, 1, 2}) {
		t.Errorf("products far apart: ranges %v to %v", low, high)
	}
	low, high = rankRanges(far, Noise{SD: math.NaN()}, 500, rand.New(rand.NewPCG(1, 1)))
	if !slices.Equal(low, []int{1, 1, 1}) || !slices.Equal(high, []int{3, 3, 3}) {
		t.Errorf("noise not known: ranges %v to %v, want every place open", low, high)
	}
	long := make([]standing, rankAll+40)
	for i := range long {
		long[i] = standing{value: float64(i), n: 1}
	}
	low, _ = rankRanges(long, noise, 200, rand.New(rand.NewPCG(1, 1)))
	given := 0
	for _, r := range low {
		if r > 0 {
			given++
		}
	}
	if given != 2*rankEnds || low[len(low)-1] != 1 || low[len(low)/2] != 0 {
		t.Errorf("a long table: %d ranges, want those of the two ends", given)
	}
	if low, high := rankRanges(nil, noise, 200, rand.New(rand.NewPCG(1, 1))); len(low)+len(high) != 0 {
		t.Error("no products, yet ranges")
	}
}

func TestNoiseIgnoresDriftAndSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	b := &bench{year: 3000}
	var values []float64
	for k := range 40 {
		var p product
		for j := range 5 {
			p.openings = append(p.openings, len(values))
			when := 2019 + 1.4*float64(j)
			v := 0.006*rng.NormFloat64() + 0.02*(when-2019) // everybody's rise
			if k < 4 && j >= 3 {
				v -= 0.15 // a step in four parts
			}
			b.rows = append(b.rows, opening{product: k, when: when})
			values = append(values, v)
		}
		b.products = append(b.products, p)
	}
	// The four steps count no more than three scales each: the noise errs a
	// little to the cautious side.
	if n := b.noiseOf(values, Noise{SD: math.NaN()}); n.SD < 0.0057 || n.SD > 0.0073 || n.Pairs != 160 {
		t.Errorf("noise %.5f from %d pairs, planted 0.006", n.SD, n.Pairs)
	}
	if n := b.noiseOf(values, Noise{SD: 0.05, DF: 3}); n.SD != 0.05 {
		t.Errorf("noise %.5f below what the bench repeats", n.SD)
	}
}
