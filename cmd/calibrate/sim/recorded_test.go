package sim

import (
	"math"
	"testing"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// For every pattern of blanks the difference between Expected and Recorded must
// have mean 0 and the variance given by Open, and must not depend on the
// predicted premium.
func TestRecordedIsTheBestGuess(t *testing.T) {
	m := NewMarket(MarketOptions{Rows: 20_000, Blanks: 0.5, Matter: true, Seed: 5})
	type kind struct{ gauge, can, total, media, beta bool } // recorded
	groups := map[kind][]Product{}
	for _, p := range m.Products {
		k := kind{!math.IsNaN(p.Numbers[2]), !math.IsNaN(p.Numbers[1]), !math.IsNaN(p.Numbers[3]), p.Words[0] != "", !math.IsNaN(p.Numbers[4])}
		groups[k] = append(groups[k], p)
	}
	if len(groups) != 32 {
		t.Fatalf("%d patterns of blanks, want 32", len(groups))
	}
	for k, products := range groups {
		var error, square, recorded []float64
		for _, p := range products {
			e := p.Expected - p.Recorded
			error = append(error, e)
			if open := p.Known.Open(); open > 1e-9 {
				square = append(square, e*e/open)
			} else if math.Abs(e) > 1e-9 {
				t.Errorf("%+v: nothing is open and the price is off by %g", k, e)
			}
			recorded = append(recorded, p.Known.Premium())
		}
		n := math.Sqrt(float64(len(products)))
		if se := num.SD(error) / n; math.Abs(num.Mean(error)) > 4*se+1e-9 {
			t.Errorf("%+v: off by %.4f on average, standard error %.4f", k, num.Mean(error), se)
		}
		if square == nil {
			continue
		}
		if se := num.SD(square) / n; math.Abs(num.Mean(square)-1) > 4*se {
			t.Errorf("%+v: squared error %.3f times what is said to be open, standard error %.3f", k, num.Mean(square), se)
		}
		if num.SD(recorded) < 1e-9 {
			continue // the prediction is the same for all products
		}
		f, err := linear.LeastSquares(linear.Design{Columns: [][]float64{recorded}}, error)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.Coef[1]) > 4*f.SE[1] {
			t.Errorf("%+v: the guess should be stretched by %.3f, standard error %.3f", k, f.Coef[1], f.SE[1])
		}
	}
}
