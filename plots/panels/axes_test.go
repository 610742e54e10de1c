package panels

import (
	"math/rand/v2"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/drift"
)

// The frame must contain the lines fitted to the readings.
func TestLinesStayInTheFrame(t *testing.T) {
	for i, step := range []float64{0, -0.05, 0.1} {
		rng := rand.New(rand.NewPCG(uint64(i), 52))
		log, err := sim.NewGaugeLog(sim.GaugeOptions{Makers: 6, Step: step, Drift: -0.03 * rng.Float64()}, rng)
		if err != nil {
			t.Fatal(err)
		}
		entries, err := drift.Analyse(log.Log, drift.Options{Measures: []string{"can_gauge"}})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			v := New([]drift.Entry{e}, "can_gauge", "", log.Units())
			if v == nil {
				continue
			}
			_, y, _ := v.axes(v.entries)
			ends := v.lineEnds(v.entries[0])
			if len(ends) < 2 || !v.readings {
				t.Fatalf("%s has no lines", e.Maker)
			}
			for _, end := range ends {
				if end < y.Min || end > y.Max {
					t.Errorf("%s: a line ends at %g, the frame shows %g to %g", e.Maker, end, y.Min, y.Max)
				}
			}
		}
	}
}
