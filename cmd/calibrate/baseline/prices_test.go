package baseline

import (
	"math"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Leave-one-out errors must equal the errors of fits that leave out one product each.
func TestLeftOutErrorsAreThoseOfFitsWithoutEach(t *testing.T) {
	m := sim.NewMarket(sim.MarketOptions{Rows: 25, Matter: true, Seed: 3})
	d := everything(m)
	quick := leftOut(d, m.Products)
	if quick == nil {
		t.Fatal("nothing was fitted")
	}
	for i := range m.Products {
		var y []float64
		rest := linear.Design{Columns: make([][]float64, len(d.Columns))}
		at := make([]float64, len(d.Columns))
		for k, p := range m.Products {
			for j, column := range d.Columns {
				if k == i {
					at[j] = column[k]
				} else {
					rest.Columns[j] = append(rest.Columns[j], column[k])
				}
			}
			if k != i {
				y = append(y, p.Paid)
			}
		}
		f, err := linear.LeastSquares(rest, y)
		if err != nil {
			t.Fatal(err)
		}
		fit, _ := f.PredictionSE(at)
		if slow := m.Products[i].Paid - fit; math.Abs(slow-quick[i]) > 1e-9 {
			t.Errorf("product %d is missed by %.12f, want %.12f", i, quick[i], slow)
		}
	}
	few := sim.NewMarket(sim.MarketOptions{Rows: 6, Matter: true, Seed: 3})
	if leftOut(everything(few), few.Products) != nil {
		t.Error("6 products are enough for a fit on everything")
	}
}

// In a large log the median error of the oracle must be about that of the rule
// itself.
func TestPriceOracleIsABound(t *testing.T) {
	m := sim.NewMarket(sim.MarketOptions{Rows: 2000, Blanks: 0.3, Matter: true, Overpriced: 0.1, Seed: 6})
	told := PriceOracle(m)
	var ofTold, ofRule []float64
	for i, p := range m.Products {
		if p.Clean {
			ofTold, ofRule = append(ofTold, math.Abs(told[i])), append(ofRule, math.Abs(p.Paid-p.Recorded))
		}
	}
	if a, b := num.Median(ofTold), num.Median(ofRule); math.Abs(a/b-1) > 0.08 {
		t.Errorf("told misses by %.4f, the rule by %.4f", a, b)
	}
}
