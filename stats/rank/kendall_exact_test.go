package rank

import (
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// countsOfPairs returns the null distribution of the Mann–Whitney count for groups
// of a and b values, by the recursion of Mann and Whitney (1947), Annals of
// Mathematical Statistics 18, 50–60, over the group of the last value. It adds
// positive terms only, so no digits cancel.
func countsOfPairs(a, b int) []float64 {
	row := make([][]float64, b+1)
	for j := range row {
		row[j] = []float64{1}
	}
	for i := 1; i <= a; i++ {
		next := [][]float64{{1}}
		for j := 1; j <= b; j++ {
			out := make([]float64, i*j+1)
			for u, p := range row[j] {
				out[u+j] += p * float64(i) / float64(i+j)
			}
			for u, p := range next[j-1] {
				out[u] += p * float64(j) / float64(i+j)
			}
			next = append(next, out)
		}
		row = next
	}
	return row[b]
}

// The polynomial products keep eleven digits, down to the rarest count.
func TestMannWhitneyAgainstRecursion(t *testing.T) {
	for _, n := range [][2]int{{0, 3}, {1, 1}, {5, 2}, {2, 9}, {17, 17}, {60, 35}, {12, 70}} {
		want := countsOfPairs(n[0], n[1])
		got := mannWhitney(n[0], n[1])
		if len(got) != len(want) {
			t.Fatalf("%v: %d chances, want %d", n, len(got), len(want))
		}
		for u, p := range want {
			if math.Abs(got[u]-p) > 1e-11*p {
				t.Fatalf("%v: chance of %d pairs %v, want %v", n, u, got[u], p)
			}
		}
	}
}

// The p-value from the probabilities of few discordant pairs equals that from the
// full distributions of the blocks, with ties in either variable or in none.
func TestBlockedExactTailAgainstConvolution(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for range 60 {
		blocks := make([]num.Series, 1+rng.IntN(4))
		sum := []float64{1}
		for i := range blocks {
			n := 2 + rng.IntN(24)
			b := num.Series{T: make([]float64, n), Y: testhelp.Coarse(rng, n, 1+rng.IntN(12))}
			for k := range b.T {
				b.T[k] = float64(k)
				b.Y[k] -= 0.4 * float64(rng.IntN(2)*k)
			}
			if rng.IntN(2) == 0 {
				b.T, b.Y = b.Y, b.T
			}
			blocks[i] = b
			// Insert the groups of equal values one by one, then the other values.
			k := new(kendallRoom).count(b.T, b.Y)
			discordant, before := []float64{1}, 0
			for _, tie := range append(k.tiesX, k.tiesY...) {
				discordant = convolve(discordant, countsOfPairs(before, tie))
				before += tie
			}
			for ; before < n; before++ {
				discordant = convolve(discordant, countsOfPairs(before, 1))
			}
			spread := make([]float64, 2*len(discordant)-1)
			for d, p := range discordant {
				spread[2*(len(discordant)-1-d)] = p
			}
			sum = convolve(sum, spread)
		}
		r, err := BlockedKendall(blocks)
		if err != nil {
			t.Fatal(err)
		}
		if want := tailBeyond(sum, r.S); r.N <= exactBlockedMax && math.Abs(r.ExactP-want) > 1e-10*want {
			t.Fatalf("S %d of %d values: p %v, want %v", r.S, r.N, r.ExactP, want)
		}
	}
}
