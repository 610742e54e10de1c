package linear

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The triangular factor has the same cross products as the matrix.
func TestTriangularKeepsTheCrossProducts(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 9))
	for _, size := range [][2]int{{3, 5}, {40, 3}, {1025, 2}, {5000, 7}, {1000, 300}} {
		n, p := size[0], size[1]
		a := mat.NewDense(n, p, nil)
		for i := range n {
			for j := range p {
				a.Set(i, j, rng.NormFloat64()+float64(j%3))
			}
		}
		var want, got mat.Dense
		want.Mul(a.T(), a)
		r := mat.NewDense(min(n, p), p, nil)
		raw := triangular(a.RawMatrix())
		for i := range min(n, p) {
			for j := i; j < p; j++ {
				r.Set(i, j, raw.Data[i*raw.Stride+j])
			}
		}
		got.Mul(r.T(), r)
		got.Sub(&got, &want)
		if off := mat.Norm(&got, 1) / mat.Norm(&want, 1); !(off < 1e-13) {
			t.Errorf("%d×%d: cross-products differ by %.1g of themselves", n, p, off)
		}
	}
}

func BenchmarkTriangular(b *testing.B) {
	for _, n := range []int{1000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			d, _ := noisyPlane(n, 20, 1)
			s := standardise(d, d.Columns[0])
			for b.Loop() {
				triangular(s.matrix().RawMatrix())
			}
		})
	}
}
