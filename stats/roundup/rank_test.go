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

// The range of a place holds the true place at least 95 times in 100, also
// where many products are equal, which is where the plain bootstrap of ranks
// fails (Hall and Miller 2009).
func TestRankRangesHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	const runs, p = 250, 12
	for _, c := range []struct {
		name  string
		truth func(i int) float64
	}{
		{"all equal", func(int) float64 { return 0 }},
		{"evenly apart", func(i int) float64 { return float64(i) }},
		{"close together", func(i int) float64 { return 0.4 * float64(i) }},
		{"one ahead of equals", func(i int) float64 { return 6 * float64(i/(p-1)) }},
	} {
		truth := make([]float64, p)
		for i := range truth {
			truth[i] = c.truth(i)
		}
		best, worst := trueRanks(truth)
		held, total, width, missed := 0, 0, 0, 0
		for run := range runs {
			noise := normalNoise(rng, 40, 1)
			s := ranked(rng, truth, 1+run%2, 1)
			low, high := rankRanges(s, noise, 400, rng)
			firstIn := false
			for i := range s {
				total++
				width += high[i] - low[i]
				if low[i] <= worst[i] && best[i] <= high[i] {
					held++
				}
				if best[i] == 1 && low[i] == 1 {
					firstIn = true
				}
			}
			if !firstIn {
				missed++
			}
		}
		share := float64(held) / float64(total)
		t.Logf("%s: %.3f hold, mean width %.1f places, true first not among the leaders in %.3f", c.name, share,
			float64(width)/float64(total), float64(missed)/runs)
		if c.name == "evenly apart" && float64(width)/float64(total) > 6 {
			t.Error("places a whole noise apart are hardly told from one another")
		}
		if share < 0.95 {
			t.Errorf("%s: only %.3f of the ranges hold the true place", c.name, share)
		}
		if float64(missed)/runs > 0.08 {
			t.Errorf("%s: the true first is missing among the leaders in %.3f of the runs", c.name, float64(missed)/runs)
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

// Grouping by variance spares work and changes nothing.
func TestCriticalValueByGroups(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 2))
	for range 20 {
		s := make([]standing, 2+rng.IntN(30))
		for i := range s {
			s[i] = standing{value: rng.NormFloat64(), n: 1 + rng.IntN(4), extra: float64(rng.IntN(2))}
		}
		draws := drawNoise(s, Noise{SD: 1, DF: 30}, 300, rng)
		variances, groups := byVariance(s, draws)
		for j := range s {
			fast, plain := criticalValue(s, j, draws, variances, groups), criticalValue(s, j, draws, nil, nil)
			if math.Abs(fast-plain) > 1e-12*plain {
				t.Fatalf("product %d of %d: %v by groups, %v by all pairs", j, len(s), fast, plain)
			}
		}
	}
}
