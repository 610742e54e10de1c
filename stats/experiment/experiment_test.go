package experiment

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The gain on the line equals that from the inverse of the whole design and that
// from the closed form in the package comment.
func TestPriceGainAgainstMatrices(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for range 50 {
		d := &Design{Between: 0.02, Within: 0.001}
		var sizes []float64
		for range 5 + rng.IntN(20) {
			c := Product{X: 6 + rng.NormFloat64()/3, N: rng.IntN(4)}
			d.Products = append(d.Products, c)
			d.line.add(c.X, d.weight(c.N))
			sizes = append(sizes, c.X)
		}
		d.Products[0].N, d.Products[1].N = 1, 2
		d.line = weighted{}
		for _, c := range d.Products {
			d.line.add(c.X, d.weight(c.N))
		}
		d.over = momentsOf(sizes)
		inverse := func(more int) *mat.Dense {
			var m mat.Dense
			m.CloneFrom(mat.NewDense(2, 2, nil))
			for k, c := range d.Products {
				w := d.weight(c.N)
				if k == more {
					w = d.weight(c.N + 1)
				}
				m.Set(0, 0, m.At(0, 0)+w)
				m.Set(0, 1, m.At(0, 1)+w*c.X)
				m.Set(1, 0, m.At(1, 0)+w*c.X)
				m.Set(1, 1, m.At(1, 1)+w*c.X*c.X)
			}
			var inv mat.Dense
			if err := inv.Inverse(&m); err != nil {
				t.Fatal(err)
			}
			return &inv
		}
		quadratic := func(m mat.Matrix, x, y float64) float64 {
			return mat.Inner(mat.NewVecDense(2, []float64{1, x}), m, mat.NewVecDense(2, []float64{1, y}))
		}
		mean := func(m mat.Matrix) float64 {
			var sum float64
			for _, x := range sizes {
				sum += quadratic(m, x, x) / float64(len(sizes))
			}
			return sum
		}
		before := inverse(-1)
		for k, c := range d.Products {
			want := 1 - mean(inverse(k))/mean(before)
			got := d.gain(k, 1).Line
			if math.Abs(got-want) > 1e-7 {
				t.Fatalf("product %d: gain %.9f, by matrices %.9f", k, got, want)
			}
			dw := d.weight(c.N+1) - d.weight(c.N)
			var mam float64
			for _, x := range sizes {
				q := quadratic(before, c.X, x)
				mam += q * q / float64(len(sizes))
			}
			closed := dw * mam / (1 + dw*quadratic(before, c.X, c.X)) / mean(before)
			if math.Abs(got-closed) > 1e-7 {
				t.Fatalf("product %d: gain %.9f, closed form %.9f", k, got, closed)
			}
		}
	}
}

// What one more opening adds to the sum of squares of dates equals the difference
// after recomputing the sum with that date.
func TestDateGain(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for range 100 {
		dates := make([]float64, 1+rng.IntN(6))
		for i := range dates {
			dates[i] = 2018 + 8*rng.Float64()
		}
		var with Dates
		for _, at := range dates {
			with.Add(at)
		}
		without := with
		with.Add(2027.5)
		if got := without.adds(2027.5); math.Abs(without.squares+got-with.squares) > 1e-8 {
			t.Fatalf("adds %.6f, recomputed %.6f", got, with.squares-without.squares)
		}
	}
}

func TestUnmeasuredPartsTeachMoreAboutPrices(t *testing.T) {
	d := &Design{Between: 0.02, Within: 0.001}
	for k := range 12 {
		d.Products = append(d.Products, Product{X: 6 + float64(k%6)/10, N: 3 * (k % 2)})
		d.line.add(d.Products[k].X, d.weight(d.Products[k].N))
	}
	d.over = moments{mean: 6.25, square: 0.03}
	if never, often := d.gain(0, 1).Line, d.gain(1, 1).Line; !(never > 10*often) {
		t.Errorf("a part never priced gains %.4f, one priced three times %.4f", never, often)
	}
}
