package panel

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/num"
)

// noisyBlocks draws blocks of the given sizes, each with its own level and normal
// noise of standard deviation 1.
func noisyBlocks(rng *rand.Rand, sizes ...int) []num.Series {
	out := make([]num.Series, len(sizes))
	for i, n := range sizes {
		for range n {
			out[i].T = append(out[i].T, 6*rng.Float64())
			out[i].Y = append(out[i].Y, 10*float64(i)+rng.NormFloat64())
		}
	}
	return out
}

func normalNoise(rng *rand.Rand, slips float64) PooledNoise {
	n := PooledNoise{Prior: 1, PriorDF: math.Inf(1)}
	for range 2000 {
		v := rng.NormFloat64()
		if rng.Float64() < slips {
			v = 12
		}
		n.Residuals = append(n.Residuals, v)
	}
	return n
}

// If nothing is winsorised and the variance is known, the statistic is the largest
// t of a regression on an indicator of the date, with one level per block.
func TestStepFromNoiseAgreesWithIndicators(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		blocks := noisyBlocks(rng, 5, 3, 8)
		n := normalNoise(rng, 0)
		n.Prior = 4
		got, err := n.Step(blocks, NoiseOptions{Worth: 1e-300})
		if err != nil {
			t.Fatal(err)
		}
		most, from := 0.0, math.NaN()
		for _, b := range blocks {
			for _, date := range b.T {
				indicator := make([]num.Series, len(blocks))
				for i, c := range blocks {
					indicator[i].Y = c.Y
					for _, at := range c.T {
						after := 0.0
						if at >= date {
							after = 1
						}
						indicator[i].T = append(indicator[i].T, after)
					}
				}
				f, err := FixedEffects(indicator)
				if err != nil || f.Information < stepInformation {
					continue
				}
				if z := math.Abs(f.Slope) * math.Sqrt(f.Information/4); z > most {
					most, from = z, date
				}
			}
		}
		if want := num.TwoSided(most); got.From != from || math.Abs(got.Alone-want) > 1e-9 {
			t.Errorf("p alone %v from %v, want %v from %v", got.Alone, got.From, want, from)
		}
	}
}

// Without a change the test keeps its level, also with entry errors and with a
// variance known only to some degrees of freedom.
func TestStepFromNoiseKeepsItsLevel(t *testing.T) {
	const runs = 600
	for _, c := range []struct{ slips, df float64 }{{0, math.Inf(1)}, {0.02, math.Inf(1)}, {0, 10}} {
		rng := rand.New(rand.NewPCG(3, uint64(1000*c.slips)))
		n := normalNoise(rng, c.slips)
		n.PriorDF = c.df
		small := 0
		for range runs {
			blocks := noisyBlocks(rng, 7, 3, 3, 2, 2)
			sd := 1.0
			if !math.IsInf(c.df, 1) {
				squares := 0.0
				for range int(c.df) {
					v := rng.NormFloat64()
					squares += v * v
				}
				sd = math.Sqrt(c.df / squares)
			}
			for _, b := range blocks {
				for k := range b.Y {
					if rng.Float64() < c.slips {
						b.Y[k] += 12
					}
					b.Y[k] *= sd
				}
			}
			r, err := n.Step(blocks, NoiseOptions{Seed: rng.Uint64(), Most: 999})
			if err != nil {
				t.Fatal(err)
			}
			if r.P <= 0.05 {
				small++
			}
		}
		// The count has mean 30 and standard deviation 5.3.
		if small < 15 || small > 46 {
			t.Errorf("slips %v, %v degrees of freedom: %d of %d p at or below 0.05", c.slips, c.df, small, runs)
		}
	}
}

// One entry error, however gross, is not a step if such errors are known to happen;
// a change in two parts is.
func TestOneSlipIsNoStep(t *testing.T) {
	n := normalNoise(rand.New(rand.NewPCG(4, 4)), 0.02)
	blocks := func(first, second float64) []num.Series {
		return []num.Series{
			{T: []float64{1, 1.7, 2, 4}, Y: []float64{0.3, 0.9, -0.4, first}},
			{T: []float64{1.5, 2.1, 2.5, 4.5}, Y: []float64{5.2, 5.9, 4.7, 5 + second}},
			{T: []float64{1.2, 1.8, 2.2, 2.3}, Y: []float64{9, 10, 9.5, 10.2}},
		}
	}
	slip, err := n.Step(blocks(100, 0), NoiseOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if slip.P < 0.02 {
		t.Errorf("one slip: p %v", slip.P)
	}
	both, err := n.Step(blocks(7, 7), NoiseOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if both.P > 0.005 || both.From != 4 {
		t.Errorf("a step in two parts: p %v from %v", both.P, both.From)
	}
}

func TestStepFromNoiseBounds(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	blocks := noisyBlocks(rng, 120, 130)
	for _, b := range blocks {
		for k := range b.Y {
			if b.T[k] >= 3 {
				b.Y[k] += 2
			}
		}
	}
	r, err := PooledNoise{}.Step(blocks, NoiseOptions{})
	if err != nil || r.P > 1e-20 || r.Drawn != 0 || math.Abs(r.Step-2) > 0.5 {
		t.Errorf("many openings: %+v, %v", r, err)
	}
	// Nothing is drawn if P could not reach Worth.
	n := normalNoise(rng, 0)
	for _, worth := range []float64{1e-9, 1e-5} {
		if r, err := n.Step(noisyBlocks(rng, 5, 5), NoiseOptions{Worth: worth}); err != nil || r.P != 1 || r.Drawn != 0 {
			t.Errorf("worth %v: %+v, %v", worth, r, err)
		}
	}
	var few *num.TooFewError
	if _, err := n.Step(noisyBlocks(rng, 2, 2), NoiseOptions{}); !errors.As(err, &few) {
		t.Errorf("two pairs: %v", err)
	}
	if _, err := (PooledNoise{}).Step(noisyBlocks(rng, 6, 6), NoiseOptions{}); !errors.As(err, &few) {
		t.Errorf("no noise to draw from: %v", err)
	}
	same := []num.Series{{T: []float64{1, 2, 3, 4, 5, 6}, Y: make([]float64, 6)}, {T: []float64{1, 2, 3}, Y: make([]float64, 3)}}
	if r, err := n.Step(same, NoiseOptions{}); err != nil || r.P != 1 {
		t.Errorf("values that never differ: %+v, %v", r, err)
	}
}
