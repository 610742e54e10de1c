package num

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Selection must agree with a full sort.
func TestSelectRankAgainstSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	kinds := map[string]func(i, n int) float64{
		"noise":      func(int, int) float64 { return rng.NormFloat64() },
		"few values": func(int, int) float64 { return math.Round(2 * rng.NormFloat64()) },
		"one value":  func(int, int) float64 { return 7 },
		"rising":     func(i, _ int) float64 { return float64(i) },
		"falling":    func(i, _ int) float64 { return -float64(i) },
		"peak":       func(i, n int) float64 { return -math.Abs(float64(i - n/2)) },
	}
	for name, value := range kinds {
		for _, n := range []int{1, 2, sortBelow, sortBelow + 1, 500, 3001} {
			x := make([]float64, n)
			for i := range x {
				x[i] = value(i, n)
			}
			sorted := slices.Sorted(slices.Values(x))
			for _, k := range []int{0, n / 3, n / 2, n - 1} {
				got := slices.Clone(x)
				SelectRank(got, k)
				if got[k] != sorted[k] || k > 0 && slices.Max(got[:k]) > got[k] || slices.Min(got[k:]) < got[k] {
					t.Fatalf("%s, n = %d: rank %d is %v, want %v, with the smaller before it and the larger behind", name, n, k, got[k], sorted[k])
				}
				slices.Sort(got)
				if !slices.Equal(got, sorted) {
					t.Fatalf("%s, n = %d: values were lost", name, n)
				}
			}
		}
	}
}
