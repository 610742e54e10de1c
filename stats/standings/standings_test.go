package standings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

// ranked draws estimates of products with the given true values, opened n times
// each.
func ranked(rng *rand.Rand, truth []float64, n int, sd float64) []Estimate {
	s := make([]Estimate, len(truth))
	for i, v := range truth {
		s[i] = Estimate{Value: v + sd/math.Sqrt(float64(n))*rng.NormFloat64(), N: n}
	}
	return s
}

// normalNoise returns the standard deviation of the noise estimated from pairs of
// openings, and its degrees of freedom.
func normalNoise(rng *rand.Rand, pairs int, sd float64) (found, df float64) {
	blocks := make([]num.Series, pairs)
	for k := range blocks {
		blocks[k] = num.Series{T: []float64{0, 0.1}, Y: []float64{sd * rng.NormFloat64(), sd * rng.NormFloat64()}}
	}
	s := panel.SuccessiveScatter(blocks)
	return s.SD, s.DF
}

// trueRanks returns the best and the worst true place of each value; they differ
// for ties.
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

// All ranges of a table hold simultaneously in at least 95 % of tables, whatever the
// distribution of the true values.
func TestRangesHold(t *testing.T) {
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
			sd, df := normalNoise(rng, 40, 1)
			low, high := Ranges(s, sd, df, 1000, rng)
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
		// 0.95 less two standard errors of the simulation.
		if share := float64(all) / runs; share < 0.95-2*math.Sqrt(0.95*0.05/runs) {
			t.Errorf("%s: only %.3f of the tables hold every true place", c.name, share)
		}
	}
}

func TestRangesProperties(t *testing.T) {
	const sd, df = 1, 50
	far := []Estimate{{Value: 0, N: 1}, {Value: 100, N: 1}, {Value: 50, N: 2}}
	low, high := Ranges(far, sd, df, 500, rand.New(rand.NewPCG(1, 1)))
	if !slices.Equal(low, []int{3, 1, 2}) || !slices.Equal(high, []int{3, 1, 2}) {
		t.Errorf("products far apart: ranges %v to %v", low, high)
	}
	low, high = Ranges(far, math.NaN(), 0, 500, rand.New(rand.NewPCG(1, 1)))
	if !slices.Equal(low, []int{1, 1, 1}) || !slices.Equal(high, []int{3, 3, 3}) {
		t.Errorf("noise not known: ranges %v to %v, want every place open", low, high)
	}
	long := make([]Estimate, All+40)
	for i := range long {
		long[i] = Estimate{Value: float64(i), N: 1}
	}
	low, _ = Ranges(long, sd, df, 200, rand.New(rand.NewPCG(1, 1)))
	given := 0
	for _, r := range low {
		if r > 0 {
			given++
		}
	}
	if given != 2*Ends || low[len(low)-1] != 1 || low[len(low)/2] != 0 {
		t.Errorf("a long table: %d ranges, want those of the two ends", given)
	}
	if low, high := Ranges(nil, sd, df, 200, rand.New(rand.NewPCG(1, 1))); len(low)+len(high) != 0 {
		t.Error("no products, yet ranges")
	}
}
