package imputation

import (
	"math"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// Blanks are filled by regression on the known columns; for few blanks and many
// rows this is close to least squares on the complete rows (D. B. Rubin (1987),
// Multiple Imputation for Nonresponse in Surveys, Wiley, chapter 5, for a monotone
// pattern).
func TestBlanksAreFilledByRegression(t *testing.T) {
	m := sim.NewMarket(sim.MarketOptions{Rows: 800, Seed: 3})
	var x [][]float64
	area, mass := []float64{}, []float64{}
	for _, p := range m.Products {
		area = append(area, math.Log(p.Numbers[0]))
		mass = append(mass, math.Log(p.Numbers[1]))
	}
	ma, sa, mm, sm := num.Mean(area), num.SD(area), num.Mean(mass), num.SD(mass)
	var ka, km []float64
	for i := range area {
		row := []float64{(area[i] - ma) / sa, (mass[i] - mm) / sm}
		if i%8 == 0 {
			row[1] = math.NaN()
		} else {
			ka, km = append(ka, row[0]), append(km, row[1])
		}
		x = append(x, row)
	}
	f, err := linear.LeastSquares(linear.Design{Columns: [][]float64{ka}}, km)
	if err != nil {
		t.Fatal(err)
	}
	got := Impute(x)
	for i, row := range x {
		if row[0] != got.X[i][0] || i%8 != 0 && row[1] != got.X[i][1] {
			t.Fatalf("row %d: a known value was changed", i)
		}
		want := f.Coef[0] + f.Coef[1]*row[0]
		if i%8 == 0 && math.Abs(got.X[i][1]-want) > 0.03 {
			t.Errorf("row %d: filled with %.3f, least squares %.3f", i, got.X[i][1], want)
		}
		if i%8 == 0 && !math.IsNaN(x[i][1]) {
			t.Error("the blank given was overwritten")
		}
	}
	left := got.Open[got.Pattern[0]].Spread.At(1, 1)
	if want := f.ResidualSD * f.ResidualSD; math.Abs(left/want-1) > 0.05 {
		t.Errorf("spread left by a blank: %.3f, residual variance %.3f", left, want)
	}
}
