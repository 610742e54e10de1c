package baseline

import (
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
)

// Without a change the p-value of the oracle must be at most 0.2 in a fifth of
// the makers.
func TestOracleHasItsLevel(t *testing.T) {
	below, makers := 0, 0
	for run := range 60 {
		log, err := sim.NewGaugeLog(sim.GaugeOptions{}, rand.New(rand.NewPCG(8, uint64(run))))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range log.Makers {
			if makers++; Oracle(m) <= 0.2 {
				below++
			}
		}
	}
	share := float64(below) / float64(makers)
	if se := math.Sqrt(0.2 * 0.8 / float64(makers)); math.Abs(share-0.2) > 3*se {
		t.Errorf("p is 0.2 or less for %.3f of %d makers, standard error %.3f", share, makers, se)
	}
}

func TestLikeliestStep(t *testing.T) {
	parts := []num.Series{
		{T: []float64{0, 1, 2, 3, 4}, Y: []float64{0.50, 0.50, 0.46, 0.46, 0.46}},
		{T: []float64{0.5, 2.5}, Y: []float64{0.40, 0.36}},
		{T: []float64{3.5}, Y: []float64{0.30}}, // without information
	}
	at, z, dates := LikeliestStep(parts)
	// At date 2 the information is 2·3/(2+3) + 1·1/(1+1) readings. Each of the
	// seven dates after the first divides a part.
	if want := 0.04 * math.Sqrt(1.2+0.5) / sim.ReadingSD(); at != 2 || math.Abs(z-want) > 1e-9 || dates != 7 {
		t.Errorf("at %g, z %g, %d dates; want 2, %g, 7", at, z, dates, want)
	}
	if at, z, dates := LikeliestStep(parts[2:]); !math.IsNaN(at) || z != 0 || dates != 0 {
		t.Errorf("one reading: %g, %g, %d", at, z, dates)
	}
}
