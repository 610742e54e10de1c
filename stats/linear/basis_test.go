package linear

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
)

// A basis has orthogonal columns of mean square 1, the constant's positive; At
// reproduces the rows of the basis, and coefficients of the basis and of the
// design give the same fit.
func TestBasis(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 3))
	for _, n := range []int{6, 40, 3000} {
		d := Design{Columns: make([][]float64, 3)}
		var y []float64
		for range n {
			x := 500 + 40*rng.NormFloat64()
			d.Columns[0] = append(d.Columns[0], x)
			d.Columns[1] = append(d.Columns[1], 1e-3*(x+rng.NormFloat64()))
			d.Columns[2] = append(d.Columns[2], rng.Float64())
			y = append(y, rng.NormFloat64())
		}
		b, err := NewBasis(d, y)
		if err != nil {
			t.Fatal(err)
		}
		gamma := []float64{3, -1, 0.5, 2}
		coef := b.Coefficients(gamma)
		for i := range n {
			x := []float64{d.Columns[0][i], d.Columns[1][i], d.Columns[2][i]}
			if !floats.EqualApprox(b.At(x), b.Row(i), 1e-9) || math.Abs(b.Row(i)[0]-1) > 1e-9 {
				t.Fatalf("%d rows: row %d is %v, its predictors come to %v", n, i, b.Row(i), b.At(x))
			}
			if got, want := coef[0]+floats.Dot(coef[1:], x), floats.Dot(gamma, b.Row(i)); math.Abs(got-want) > 1e-9 {
				t.Fatalf("%d rows: row %d fitted %g, in the basis %g", n, i, got, want)
			}
		}
		for j := range b.P {
			for k := range b.P {
				sum, want := 0.0, 0.0
				for i := range n {
					sum += b.Row(i)[j] * b.Row(i)[k] / float64(n)
				}
				if j == k {
					want = 1
				}
				if math.Abs(sum-want) > 1e-9 {
					t.Errorf("%d rows: columns %d and %d have the mean product %g, want %g", n, j, k, sum, want)
				}
			}
		}
	}
}
