package roundup

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The gain on the price line agrees with the inverse of the whole design, and
// with the closed form its comment gives.
func TestPriceGainAgainstMatrices(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for range 50 {
		d := &design{between: 0.02, within: 0.001, sums: map[string]float64{}}
		var sizes []float64
		for range 5 + rng.IntN(20) {
			c := candidate{size: 6 + rng.NormFloat64()/3, priced: rng.IntN(4)}
			d.parts = append(d.parts, c)
			d.line.add(c.size, d.weight(c.priced))
			sizes = append(sizes, c.size)
		}
		d.parts[0].priced, d.parts[1].priced = 1, 2
		d.line = weighted{}
		for _, c := range d.parts {
			d.line.add(c.size, d.weight(c.priced))
		}
		d.over = momentsOf(sizes)
		inverse := func(more int) *mat.Dense {
			var m mat.Dense
			m.CloneFrom(mat.NewDense(2, 2, nil))
			for k, c := range d.parts {
				w := d.weight(c.priced)
				if k == more {
					w = d.weight(c.priced + 1)
				}
				m.Set(0, 0, m.At(0, 0)+w)
				m.Set(0, 1, m.At(0, 1)+w*c.size)
				m.Set(1, 0, m.At(1, 0)+w*c.size)
				m.Set(1, 1, m.At(1, 1)+w*c.size*c.size)
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
		for k, c := range d.parts {
			want := 1 - mean(inverse(k))/mean(before)
			got := d.gain(k, 1).PriceGain
			if math.Abs(got-want) > 1e-7 {
				t.Fatalf("product %d: gain %.9f, by matrices %.9f", k, got, want)
			}
			dw := d.weight(c.priced+1) - d.weight(c.priced)
			var mam float64
			for _, x := range sizes {
				q := quadratic(before, c.size, x)
				mam += q * q / float64(len(sizes))
			}
			closed := dw * mam / (1 + dw*quadratic(before, c.size, c.size)) / mean(before)
			if math.Abs(got-closed) > 1e-7 {
				t.Fatalf("product %d: gain %.9f, closed form %.9f", k, got, closed)
			}
		}
	}
}

// What one more opening adds to the sum of squares of dates is what recomputing
// it with that date gives.
func TestDateGain(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for range 100 {
		dates := make([]float64, 1+rng.IntN(6))
		for i := range dates {
			dates[i] = 2018 + 8*rng.Float64()
		}
		b := &bench{year: 3000}
		values := make([]float64, len(dates)+1)
		var p product
		for i, at := range append(dates, 2027.5) {
			p.openings = append(p.openings, i)
			b.rows = append(b.rows, opening{when: at})
		}
		with := b.datesOf(p, values)
		p.openings = p.openings[:len(dates)]
		without := b.datesOf(p, values)
		if got := without.adds(2027.5); math.Abs(without.squares+got-with.squares) > 1e-8 {
			t.Fatalf("adds %.6f, recomputed %.6f", got, with.squares-without.squares)
		}
	}
}

func TestUnmeasuredPartsTeachMoreAboutPrices(t *testing.T) {
	d := &design{between: 0.02, within: 0.001, sums: map[string]float64{}}
	for k := range 12 {
		d.parts = append(d.parts, candidate{size: 6 + float64(k%6)/10, priced: 3 * (k % 2)})
		d.line.add(d.parts[k].size, d.weight(d.parts[k].priced))
	}
	d.over = moments{mean: 6.25, square: 0.03}
	if never, often := d.gain(0, 1).PriceGain, d.gain(1, 1).PriceGain; !(never > 10*often) {
		t.Errorf("a part never priced gains %.4f, one priced three times %.4f", never, often)
	}
}
