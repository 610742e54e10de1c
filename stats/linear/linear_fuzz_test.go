package linear

import (
	"math"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

func FuzzLeastSquares(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, shape uint8) {
		x, y, noIntercept := testhelp.FuzzColumns(data, shape, 4)
		d := Design{Columns: x, NoIntercept: noIntercept}
		fit, err := LeastSquares(d, y)
		if err != nil {
			return
		}
		for what, v := range map[string][]float64{"coefficients": fit.Coef, "SE": fit.SE, "fitted": fit.Fitted,
			"residuals": fit.Residuals, "leverage": fit.Leverage, "deleted": fit.Deleted, "Cook": fit.Cook,
			"SD and condition": {fit.ResidualSD, fit.Condition}} {
			if !num.AllFinite(v) {
				t.Errorf("%s: %v", what, v)
			}
		}
		var trace float64
		for _, h := range fit.Leverage {
			trace += h
		}
		if math.Abs(trace-float64(len(fit.Coef))) > 1e-3 {
			t.Errorf("leverages sum to %v, %d coefficients", trace, len(fit.Coef))
		}
		fit.Interval(0, 0.95)
		fit.PredictionSE(make([]float64, len(d.Columns)))
		fit.Influential()
		_, _, _ = BreuschPagan(fit, d)
	})
}

func FuzzNormality(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, _ uint8) {
		x := testhelp.FloatsOf(data)
		if w, p, err := ShapiroWilk(x); err == nil && !(w >= 0 && w <= 1 && p >= 0 && p <= 1) {
			t.Errorf("Shapiro–Wilk of %v: W %v, p %v", x, w, p)
		}
	})
}

func FuzzPairs(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, lambda uint8) {
		x := testhelp.FloatsOf(data)
		n := len(x) / 2
		if fit, err := Deming(x[:n], x[n:2*n], float64(lambda)/16, 0.95); err == nil {
			if !num.AllFinite([]float64{fit.Slope, fit.Intercept, fit.SlopeLow, fit.SlopeHigh, fit.InterceptLow, fit.InterceptHigh}) {
				t.Errorf("Deming of %v: %+v", x, fit)
			}
		}
		if tValue, p, err := Curvature(x[:n], x[n:2*n]); err == nil && (math.IsNaN(tValue) || !(p >= 0 && p <= 1)) {
			t.Errorf("curvature of %v: t %v, p %v", x, tValue, p)
		}
	})
}
