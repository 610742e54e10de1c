package outlier

import (
	"math/rand/v2"
	"testing"

	"pleatstat/stats"
)

func market(rng *rand.Rand, n int, share float64) (x, y []float64) {
	for i := range n {
		x = append(x, 1.4*rng.Float64())
		y = append(y, 0.9*x[i]+0.25*rng.NormFloat64())
		if float64(i) < share*float64(n) {
			y[i] += 0.79
		}
	}
	return x, y
}

func benchmarkFit(b *testing.B, n int) {
	x, y := market(rand.New(rand.NewPCG(1, 2)), n, 0.08)
	f, err := stats.RobustLine(stats.Design{Columns: [][]float64{x}}, y, stats.RobustOptions{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		_, err := Fit([][]float64{x}, y, Start{f.Fitted, f.Scale})
		if err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFit60(b *testing.B)   { benchmarkFit(b, 60) }
func BenchmarkFit300(b *testing.B)  { benchmarkFit(b, 300) }
func BenchmarkFit2000(b *testing.B) { benchmarkFit(b, 2000) }
