package rank

import (
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// The exact p-value equals that of listing all orders.
func TestWithinPermutationExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 1))
	for range 30 {
		blocks := []num.Series{
			{T: testhelp.Coarse(rng, 4, 9), Y: testhelp.Coarse(rng, 4, 5)},
			{T: testhelp.Coarse(rng, 3, 9), Y: testhelp.Coarse(rng, 3, 5)},
		}
		statistic := func(first, second []int) float64 {
			s := 0.0
			for i, order := range [][]int{first, second} {
				b := blocks[i]
				mean := num.PlainMean(b.T)
				for k, at := range order {
					s += (b.T[k] - mean) * b.Y[at]
				}
			}
			return s
		}
		observed := math.Abs(statistic([]int{0, 1, 2, 3}, []int{0, 1, 2}))
		extreme, total := 0, 0
		permutations(4, func(first []int) {
			permutations(3, func(second []int) {
				total++
				if math.Abs(statistic(first, second)) >= observed-1e-9 {
					extreme++
				}
			})
		})
		r, err := WithinPermutation(blocks, PermutationOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if want := float64(extreme) / float64(total); !r.Exact || math.Abs(r.P-want) > 1e-12 {
			t.Fatalf("%v: p %v, want %v", blocks, r.P, want)
		}
	}
}

func TestWithinPermutationDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 1))
	flat, fall := 0, 0
	const runs = 300
	for i := range runs {
		none := steps(rng, 6, 5, 9, 0, 0, 0.006)
		r, err := WithinPermutation(none, PermutationOptions{Most: 2000, Seed: uint64(i)})
		if err != nil {
			t.Fatal(err)
		}
		if r.P <= 0.1 {
			flat++
		}
		thinning := steps(rng, 6, 5, 0, 0, -0.01, 0.006)
		if r, err = WithinPermutation(thinning, PermutationOptions{Most: 2000, Seed: uint64(i)}); err != nil {
			t.Fatal(err)
		}
		if r.P <= 0.01 {
			fall++
		}
	}
	if flat < runs*5/100 || flat > runs*16/100 {
		t.Errorf("p <= 0.1 in %d of %d runs without a trend", flat, runs)
	}
	if fall < runs*95/100 {
		t.Errorf("p <= 0.01 in %d of %d runs with one", fall, runs)
	}
	b := steps(rng, 6, 6, 9, 0, 0, 0.006)
	first, _ := WithinPermutation(b, PermutationOptions{Seed: 5})
	again, _ := WithinPermutation([]num.Series{shuffled(rng, b[0]), b[1], b[2], b[3], b[4], b[5]}, PermutationOptions{Seed: 5})
	if first != again {
		t.Errorf("the order of rows changed %+v to %+v", first, again)
	}
	none, err := WithinPermutation([]num.Series{{T: []float64{1, 1}, Y: []float64{1, 2}}}, PermutationOptions{})
	if err != nil || none.P != 1 {
		t.Errorf("no spread of times: %+v, %v", none, err)
	}
	if _, err := WithinPermutation([]num.Series{{T: []float64{1, 2}, Y: []float64{1, math.NaN()}}}, PermutationOptions{}); err == nil {
		t.Error("NaN was accepted")
	}
}

func shuffled(rng *rand.Rand, b num.Series) num.Series {
	var s num.Series
	for _, k := range rng.Perm(len(b.T)) {
		s.T, s.Y = append(s.T, b.T[k]), append(s.Y, b.Y[k])
	}
	return s
}

// steps returns blocks whose level changes by step at a date, and by slope per
// year from then on.
func steps(rng *rand.Rand, blocks, n int, date, step, slope, noise float64) []num.Series {
	out := make([]num.Series, blocks)
	for i := range out {
		for range n {
			at := 6 * rng.Float64()
			y := 0.4 + 0.02*float64(i) + noise*rng.NormFloat64()
			if at >= date {
				y += step + slope*(at-date)
			}
			out[i].T, out[i].Y = append(out[i].T, at), append(out[i].Y, math.Round(100*y)/100)
		}
	}
	return out
}
