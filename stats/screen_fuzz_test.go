package stats

import (
	"math"
	"testing"
)

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
