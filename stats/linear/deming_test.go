package linear

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// Pearson (1901), Philosophical Magazine 2, 559-572: the line of closest fit to
// his ten points has slope -0.546; jackknife standard errors from R 4.2.2.
func TestDemingPearson(t *testing.T) {
	r := testhelp.Published(t, "deming_pearson")
	x, y := r.Column(t, "x"), r.Column(t, "y")
	f, err := Deming(x, y, 1, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(f.Slope-r.Number(t, "published", "slope")) > 0.0005 {
		t.Errorf("slope %v, printed -0.546", f.Slope)
	}
	testhelp.NearAll(t, "line", []float64{f.Intercept, f.Slope}, r.Numbers(t, "computed", "intercept_slope"), 1e-13)
	testhelp.NearAll(t, "jackknife", []float64{f.InterceptSE, f.SlopeSE}, r.Numbers(t, "computed", "jackknife_se"), 1e-12)
	testhelp.Near(t, "range", f.SlopeHigh-f.Slope, 2.306004*f.SlopeSE, 1e-6) // t table, 8 degrees of freedom
	testhelp.Near(t, "range", f.Intercept-f.InterceptLow, 2.306004*f.InterceptSE, 1e-6)

	// Limiting cases: least squares of y on x, and of x on y inverted.
	upright, err := Deming(x, y, 1e12, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "all error in y", upright.Slope, r.Numbers(t, "computed", "ols_y_on_x")[1], 1e-9)
	level, err := Deming(x, y, 1e-12, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "all error in x", level.Slope, r.Numbers(t, "computed", "ols_x_on_y")[1], 1e-9)
}

// The jackknife by sums equals refitting without each point; exchanging the
// variables inverts the line; changing units scales it.
func TestDemingProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	n := 25
	x, y := make([]float64, n), make([]float64, n)
	for i := range n {
		truth := 60 + 40*rng.Float64()
		x[i] = truth + rng.NormFloat64()
		y[i] = 0.1 + 0.006*truth + 0.01*rng.NormFloat64()
	}
	const lambda = 1e-4
	f, err := Deming(x, y, lambda, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	var slopes []float64
	for i := range n {
		rest := func(v []float64) []float64 { return append(append([]float64(nil), v[:i]...), v[i+1:]...) }
		g, err := Deming(rest(x), rest(y), lambda, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		slopes = append(slopes, g.Slope)
	}
	testhelp.Near(t, "jackknife by hand", f.SlopeSE, num.SD(slopes)*float64(n-1)/math.Sqrt(float64(n)), 1e-9)
	turned, err := Deming(y, x, 1/lambda, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "turned over", turned.Slope, 1/f.Slope, 1e-10)
	scaled := make([]float64, n)
	for i := range x {
		scaled[i] = x[i] / 28.349523125 // g to oz
	}
	ounces, err := Deming(scaled, y, lambda*28.349523125*28.349523125, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "in ounces", ounces.Slope, f.Slope*28.349523125, 1e-10)
	testhelp.Near(t, "in ounces", ounces.InterceptSE, f.InterceptSE, 1e-8)
}

// With errors in both variables the least-squares slope is biased towards zero;
// the Deming slope is not, and its interval has the nominal coverage.
func TestDemingCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2))
	const runs, n, slope = 1000, 40, 1.5
	var covered, sum, plain float64
	x, y := make([]float64, n), make([]float64, n)
	for range runs {
		for i := range n {
			truth := 3 * rng.NormFloat64()
			x[i] = truth + rng.NormFloat64()
			y[i] = 2 + slope*truth + 2*rng.NormFloat64()
		}
		f, err := Deming(x, y, 4, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if f.SlopeLow <= slope && slope <= f.SlopeHigh {
			covered++
		}
		sum += f.Slope
		ls, err := LeastSquares(Design{Columns: [][]float64{x}}, y)
		if err != nil {
			t.Fatal(err)
		}
		plain += ls.Coef[1]
	}
	if covered/runs < 0.925 || covered/runs > 0.975 {
		t.Errorf("a 95 %% range covers the slope in %.3f of the runs", covered/runs)
	}
	if math.Abs(sum/runs-slope) > 0.03 || plain/runs > slope-0.1 {
		t.Errorf("mean slope %.3f (least squares %.3f), truth %v", sum/runs, plain/runs, slope)
	}
}

func TestDemingRefuses(t *testing.T) {
	x, y := []float64{1, 2, 3, 4, 5}, []float64{1, 3, 2, 5, 4}
	var few *num.TooFewError
	var bad *num.NonFiniteError
	var length *num.LengthError
	var domain *num.DomainError
	if _, err := Deming(x[:3], y[:3], 1, 0.95); !errors.As(err, &few) || few.Need != 4 {
		t.Errorf("three points: %v", err)
	}
	if _, err := Deming(x, []float64{1, 2, math.NaN(), 4, 5}, 1, 0.95); !errors.As(err, &bad) || bad.Row != 2 {
		t.Errorf("NaN: %v", err)
	}
	if _, err := Deming(x, y[:4], 1, 0.95); !errors.As(err, &length) {
		t.Errorf("lengths: %v", err)
	}
	for _, lambda := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Deming(x, y, lambda, 0.95); !errors.As(err, &domain) {
			t.Errorf("lambda %v: %v", lambda, err)
		}
	}
	if _, err := Deming(x, y, 1, 1); !errors.As(err, &domain) {
		t.Errorf("confidence 1: %v", err)
	}
	if _, err := Deming([]float64{2, 2, 2, 2}, y[:4], 1, 0.95); !errors.Is(err, num.ErrNoSpread) {
		t.Errorf("upright points: %v", err)
	}
}
