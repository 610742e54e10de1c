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

func FuzzScreen(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, shape uint8) {
		d, y := fuzzDesign(data, shape, 3)
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			return
		}
		for _, v := range []Verdicts{s.Verdicts, s.LongTailed} {
			for _, chances := range [][]float64{v.PHigh, v.PLow, v.PTwo, v.QHigh, v.QLow, v.QTwo, {s.LongTailChance}} {
				checkChances(t, chances)
			}
		}
		if !allFinite(s.Residual) || !allFinite(s.Studentised) || !allFinite(s.Fit.Coef) || !allFinite(s.Robust.Coef) {
			t.Fatalf("not finite: residuals %v, studentised %v, coefficients %v and %v", s.Residual, s.Studentised, s.Fit.Coef, s.Robust.Coef)
		}
		at := make([]float64, len(d.Columns))
		for i := range at {
			at[i] = d.Columns[i][0]
		}
		// NaN where the fitted value is outside double precision.
		if fit, low, high := s.PredictionRange(at, 0.95); !math.IsNaN(fit) && !(low <= fit && fit <= high) {
			t.Fatalf("range %v to %v about %v", low, high, fit)
		}
	})
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
