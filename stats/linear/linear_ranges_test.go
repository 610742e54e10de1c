package linear

import "testing"

// Many ranges at once are the ranges one by one.
func TestPredictionRangesAreThoseOfTheirRows(t *testing.T) {
	d, y := noisyPlane(50, 2, 4)
	f, err := LeastSquares(d, y)
	if err != nil {
		t.Fatal(err)
	}
	fit, low, high := f.PredictionRanges(d.Columns, 0.9)
	for i := range y {
		at, from, to := f.PredictionRange([]float64{d.Columns[0][i], d.Columns[1][i]}, 0.9)
		if fit[i] != at || low[i] != from || high[i] != to {
			t.Fatalf("row %d: %v (%v to %v), alone %v (%v to %v)", i, fit[i], low[i], high[i], at, from, to)
		}
	}
}
