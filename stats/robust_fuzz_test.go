package stats

import (
	"math"
	"testing"
)

// checkChances fails where a p- or q-value is not a number from 0 to 1.
func checkChances(t *testing.T, p []float64) {
	t.Helper()
	for i, v := range p {
		if !(v >= 0 && v <= 1) {
			t.Fatalf("chance %d is %v", i, v)
		}
	}
}

func FuzzTheilSen(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, _ uint8) {
		x := floatsOf(data)
		n := len(x) / 2
		fit, err := TheilSen(x[:n], x[n:2*n], 0.95)
		if err == nil && !(fit.Low <= fit.Slope && fit.Slope <= fit.High && !math.IsInf(fit.Slope, 0)) {
			t.Fatalf("slope %v, range %v to %v", fit.Slope, fit.Low, fit.High)
		}
	})
}

func FuzzMultiplicity(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, _ uint8) {
		p := floatsOf(data)
		for i, v := range p {
			_, p[i] = math.Modf(math.Abs(v))
		}
		for _, adjust := range []func([]float64) ([]float64, error){BenjaminiHochberg, Holm} {
			if q, err := adjust(p); err == nil {
				checkChances(t, q)
			}
		}
	})
}
