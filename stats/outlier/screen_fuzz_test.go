package outlier

import (
	"math"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

func FuzzScreen(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, shape uint8) {
		x, y, noIntercept := testhelp.FuzzColumns(data, shape, 3)
		d := linear.Design{Columns: x, NoIntercept: noIntercept}
		s, err := Screen(d, y, ScreenOptions{})
		if err != nil {
			return
		}
		for _, v := range []Verdicts{s.Verdicts, s.LongTailed} {
			for _, chances := range [][]float64{v.PHigh, v.PLow, v.PTwo, v.QHigh, v.QLow, v.QTwo, {s.LongTailChance}} {
				testhelp.CheckChances(t, chances)
			}
		}
		if !num.AllFinite(s.Residual) || !num.AllFinite(s.Studentised) || !num.AllFinite(s.Fit.Coef) || !num.AllFinite(s.Robust.Coef) {
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
