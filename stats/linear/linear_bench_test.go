package linear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// noisyPlane returns n rows of p predictors and a response with normal noise.
func noisyPlane(n, p int, seed uint64) (Design, []float64) {
	rng := rand.New(rand.NewPCG(seed, 1))
	d := Design{Columns: make([][]float64, p)}
	y := make([]float64, n)
	for j := range d.Columns {
		d.Columns[j] = make([]float64, n)
		for i := range n {
			d.Columns[j][i] = 5 + math.Exp(rng.NormFloat64()/3)
			y[i] += float64(j+1) * d.Columns[j][i]
		}
	}
	for i := range n {
		y[i] += rng.NormFloat64()
	}
	return d, y
}

func BenchmarkLeastSquares(b *testing.B) {
	for _, size := range []struct{ n, p int }{{300, 1}, {300, 8}, {100_000, 2}, {1_000_000, 2}} {
		b.Run(fmt.Sprintf("%dx%d", size.n, size.p), func(b *testing.B) {
			d, y := noisyPlane(size.n, size.p, 1)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := LeastSquares(d, y); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
