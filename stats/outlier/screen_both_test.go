package outlier

import (
	"math/rand/v2"
	"testing"

	"pleatstat/stats/linear"
)

// Three rows far above and one far below a line of 60 are shifted rows, not
// heavy tails: the rest scatters normally and nothing lies in between. A log
// with overpriced parts and a bargain looks like this, the demo log among them,
// and the report has to find them; three of four at least.
func TestScreenFindsRowsOnBothSides(t *testing.T) {
	missed := 0
	const logs = 40
	for seed := range uint64(logs) {
		rng := rand.New(rand.NewPCG(seed, 60))
		x, y := make([]float64, 60), make([]float64, 60)
		for i := range x {
			x[i] = 4 + rng.Float64()
			y[i] = 0.9*x[i] + 0.15*rng.NormFloat64()
		}
		shifted := map[int]float64{7: 0.98, 23: 0.86, 41: 0.72, 55: -0.82}
		for i, by := range shifted {
			y[i] = 0.9*x[i] + by
		}
		s, err := Screen(linear.Design{Names: []string{"x"}, Columns: [][]float64{x}}, y, ScreenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for i, by := range shifted {
			if q := s.QHigh[i]; by > 0 && q > 0.05 {
				missed++
			}
			if q := s.QLow[i]; by < 0 && q > 0.05 {
				missed++
			}
		}
	}
	if missed > logs {
		t.Errorf("%d of %d shifted rows missed", missed, 4*logs)
	}
}
