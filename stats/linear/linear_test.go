package linear

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// Leverage, deleted residuals, Cook's distance and coefficients of the
// published sets, from R 4.2.2.
func TestInfluencePublished(t *testing.T) {
	for _, c := range []struct {
		id, response string
		columns      []string
	}{
		{"infl_stackloss", "stack_loss", []string{"air_flow", "water_temp", "acid_conc"}},
		{"infl_delivery", "del_time", []string{"n_prod", "distance"}},
		{"infl_longley", "y", []string{"x1", "x2", "x3", "x4", "x5", "x6"}},
		{"anscombe1", "y1", []string{"x1"}},
		{"anscombe2", "y2", []string{"x2"}},
		{"anscombe3", "y3", []string{"x3"}},
	} {
		t.Run(c.id, func(t *testing.T) {
			r := testhelp.Published(t, c.id)
			f, err := LeastSquares(Design{Columns: r.Columns(t, c.columns...)}, r.Column(t, c.response))
			if err != nil {
				t.Fatal(err)
			}
			// R reaches 11 digits on Longley's columns and 9 on Anscombe's third set,
			// where all rows but one lie on a line.
			const tolerance = 2e-9
			for what, got := range map[string][]float64{"hat": f.Leverage, "rstudent": f.Deleted,
				"cook": f.Cook, "coef": f.Coef, "se": f.SE} {
				if r.Has("computed", what) {
					testhelp.NearAll(t, what, got, r.Numbers(t, "computed", what), tolerance)
				}
			}
			if r.Has("computed", "sigma") {
				testhelp.Near(t, "residual SD", f.ResidualSD, r.Number(t, "computed", "sigma"), 1e-13)
			}
			if r.Has("computed", "r2") {
				testhelp.Near(t, "R²", f.RSquared, r.Number(t, "computed", "r2"), 1e-13)
			}
		})
	}
}

// In Anscombe's fourth set one row has leverage 1 and no deleted residual.
func TestLeverageOne(t *testing.T) {
	r := testhelp.Published(t, "anscombe4")
	f, err := LeastSquares(Design{Columns: r.Columns(t, "x4")}, r.Column(t, "y4"))
	if err != nil {
		t.Fatal(err)
	}
	want := r.At(t, "computed", "rstudent").([]any)
	for i := range want {
		if i == 7 {
			if f.Leverage[i] < leverageOne || f.Deleted[i] != 0 || f.Cook[i] != 0 {
				t.Errorf("row 7: leverage %v, deleted %v, Cook %v", f.Leverage[i], f.Deleted[i], f.Cook[i])
			}
			continue
		}
		testhelp.Near(t, "rstudent", f.Deleted[i], testhelp.ToNumber(t, want[i]), 1e-10)
	}
}

// The deleted residual equals its definition: the error of predicting a row from a
// fit without it, over the standard error of the prediction.
func TestDeletedByLeavingOut(t *testing.T) {
	d, y := noisyPlane(40, 3, 9)
	full, err := LeastSquares(d, y)
	if err != nil {
		t.Fatal(err)
	}
	var trace float64
	for i := range y {
		trace += full.Leverage[i]
		rest := Design{}
		var x []float64
		for _, c := range d.Columns {
			rest.Columns = append(rest.Columns, slices.Concat(c[:i], c[i+1:]))
			x = append(x, c[i])
		}
		f, err := LeastSquares(rest, slices.Concat(y[:i], y[i+1:]))
		if err != nil {
			t.Fatal(err)
		}
		fit, se := f.PredictionSE(x)
		testhelp.Near(t, "deleted residual", full.Deleted[i], (y[i]-fit)/se, 1e-9)
		var cook float64 // change of all fitted values over p·s²
		for k := range y {
			var row []float64
			for _, c := range d.Columns {
				row = append(row, c[k])
			}
			moved, _ := f.PredictionSE(row)
			cook += (moved - full.Fitted[k]) * (moved - full.Fitted[k])
		}
		testhelp.Near(t, "Cook's distance", full.Cook[i], cook/(4*full.ResidualSD*full.ResidualSD), 1e-9)
	}
	testhelp.Near(t, "sum of leverages", trace, 4, 1e-12)
}

// predictionRange and meanRange return the intervals for one new response and for
// the mean response at x.
func predictionRange(f *Fit, x []float64, confidence float64) (fit, low, high float64) {
	fit, se := f.PredictionSE(x)
	half := num.StudentQuantile(float64(f.DF), confidence) * se
	return fit, fit - half, fit + half
}

func meanRange(f *Fit, x []float64, confidence float64) (fit, low, high float64) {
	fit, h := f.At(x)
	half := num.StudentQuantile(float64(f.DF), confidence) * f.ResidualSD * math.Sqrt(h)
	return fit, fit - half, fit + half
}

// Montgomery, Peck and Vining: delivery times (example 3.12), with unrounded
// values from R 4.2.2.
func TestRangesPublished(t *testing.T) {
	r := testhelp.Published(t, "pred_delivery")
	f, err := LeastSquares(Design{Columns: r.Columns(t, "n_prod", "distance")}, r.Column(t, "del_time"))
	if err != nil {
		t.Fatal(err)
	}
	fit, low, high := predictionRange(f, []float64{8, 275}, 0.95)
	testhelp.NearAll(t, "prediction", []float64{fit, low, high}, r.Numbers(t, "computed", "fit_lo_hi_prediction"), 1e-12)
	for i, printed := range []string{"12.28", "26.16"} {
		if got := []float64{low, high}[i]; math.Abs(got-testhelp.ToNumber(t, printed)) > 0.005 {
			t.Errorf("limit %v, printed %s", got, printed)
		}
	}
	fit, low, high = meanRange(f, []float64{8, 275}, 0.95)
	testhelp.NearAll(t, "mean", []float64{fit, low, high}, r.Numbers(t, "computed", "fit_lo_hi_mean"), 1e-12)
}

func TestRangesRocket(t *testing.T) {
	r := testhelp.Published(t, "pred_rocket")
	f, err := LeastSquares(Design{Columns: r.Columns(t, "age_weeks")}, r.Column(t, "shear_psi"))
	if err != nil {
		t.Fatal(err)
	}
	testhelp.NearAll(t, "coefficients", f.Coef, r.Numbers(t, "computed", "coef"), 1e-12)
	fit, low, high := meanRange(f, []float64{13.3625}, 0.95)
	testhelp.NearAll(t, "mean", []float64{fit, low, high}, r.Numbers(t, "computed", "mean_ci_at_13_3625"), 1e-12)
	fit, low, high = predictionRange(f, []float64{10}, 0.95)
	testhelp.NearAll(t, "prediction", []float64{fit, low, high}, r.Numbers(t, "computed", "pi_at_10"), 1e-12)
	low0, high0 := f.Interval(0, 0.95)
	low1, high1 := f.Interval(1, 0.95)
	testhelp.NearAll(t, "coefficient ranges", []float64{low0, high0, low1, high1}, r.Numbers(t, "computed", "coef_ci"), 1e-12)
}

func TestRangesOutsideTheirDomain(t *testing.T) {
	d, y := noisyPlane(20, 1, 3)
	f, err := LeastSquares(d, y)
	if err != nil {
		t.Fatal(err)
	}
	if low, high := f.Interval(1, 1); !math.IsNaN(low) || !math.IsNaN(high) {
		t.Errorf("confidence 1: %v to %v", low, high)
	}
	if fit, se := f.PredictionSE([]float64{1, 2}); !math.IsNaN(fit) || !math.IsNaN(se) {
		t.Errorf("wrong length: %v, %v", fit, se)
	}
	if fit, _ := new(Fit).At(nil); !math.IsNaN(fit) {
		t.Errorf("empty fit: %v", fit)
	}
}

// A degenerate design gives an error that names the dependent columns.
func TestRankErrorNamesColumns(t *testing.T) {
	n := 30
	area := make([]float64, n)   // media_area
	mass := make([]float64, n)   // media_mass
	total := make([]float64, n)  // media_mass + can_mass
	can := make([]float64, n)    // can_mass
	same := make([]float64, n)   // a constant
	grams := make([]float64, n)  // mass in ounces: a conversion
	first := make([]float64, n)  // indicator of the first of three groups
	second := make([]float64, n) // of the second
	third := make([]float64, n)  // of the third
	y := make([]float64, n)
	for i := range n {
		area[i] = 300 + 7*float64(i*i%11)
		mass[i] = 5 + 0.13*float64(i%7)
		can[i] = 60 + 0.7*float64(i%5)
		total[i] = mass[i] + can[i]
		same[i] = 0.1 * 3
		grams[i] = mass[i] / 28.349523125
		first[i], second[i], third[i] = float64(b2i(i%3 == 0)), float64(b2i(i%3 == 1)), float64(b2i(i%3 == 2))
		y[i] = float64(i % 4)
	}
	for _, c := range []struct {
		what        string
		names       []string
		columns     [][]float64
		noIntercept bool
		want        []string
	}{
		{"sum", []string{"area", "mass", "can", "total"}, [][]float64{area, mass, can, total}, false, []string{"mass", "can", "total"}},
		{"constant", []string{"area", "same"}, [][]float64{area, same}, false, []string{"intercept", "same"}},
		{"conversion", []string{"mass", "area", "ounces"}, [][]float64{mass, area, grams}, false, []string{"mass", "ounces"}},
		{"groups", []string{"area", "g1", "g2", "g3"}, [][]float64{area, first, second, third}, false, []string{"intercept", "g1", "g2", "g3"}},
		{"two dependencies", []string{"mass", "ounces", "same", "area"}, [][]float64{mass, grams, same, area}, false, []string{"intercept", "mass", "ounces", "same"}},
		{"zero column", []string{"area", "zero"}, [][]float64{area, make([]float64, n)}, true, []string{"zero"}},
		{"groups without intercept", []string{"g1", "g2", "g3"}, [][]float64{first, second, third}, true, nil},
		{"constant without intercept", []string{"area", "same"}, [][]float64{area, same}, true, nil},
	} {
		_, err := LeastSquares(Design{Names: c.names, Columns: c.columns, NoIntercept: c.noIntercept}, y)
		var rank *num.RankError
		switch {
		case c.want == nil && err != nil:
			t.Errorf("%s: %v", c.what, err)
		case c.want != nil && !errors.As(err, &rank):
			t.Errorf("%s: %v, want a rank error", c.what, err)
		case c.want != nil && !slices.Equal(rank.Columns, c.want):
			t.Errorf("%s: columns %v, want %v", c.what, rank.Columns, c.want)
		}
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestLeastSquaresRefuses(t *testing.T) {
	var few *num.TooFewError
	var bad *num.NonFiniteError
	var length *num.LengthError
	x, y := []float64{1, 2, 4}, []float64{1, 3, 2}
	if _, err := LeastSquares(Design{Columns: [][]float64{x[:2]}}, y[:2]); !errors.As(err, &few) || few.Have != 2 || few.Need != 3 {
		t.Errorf("two rows: %v", err)
	}
	if _, err := LeastSquares(Design{}, nil); !errors.As(err, &few) {
		t.Errorf("nothing: %v", err)
	}
	if _, err := LeastSquares(Design{NoIntercept: true}, y); !errors.As(err, &few) || few.What != "columns" {
		t.Errorf("no columns: %v", err)
	}
	if _, err := LeastSquares(Design{Names: []string{"gauge"}, Columns: [][]float64{x[:2]}}, y); !errors.As(err, &length) || length.Column != "gauge" {
		t.Errorf("short column: %v", err)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := LeastSquares(Design{Columns: [][]float64{{1, v, 3}}}, y); !errors.As(err, &bad) || bad.Column != "x1" || bad.Row != 1 {
			t.Errorf("%v in a column: %v", v, err)
		}
		if _, err := LeastSquares(Design{Columns: [][]float64{x}}, []float64{1, 2, v}); !errors.As(err, &bad) || bad.Column != "response" || bad.Row != 2 {
			t.Errorf("%v in the response: %v", v, err)
		}
	}
	tiny := []float64{1e-300, 2e-300, 4e-300, 5e-300}
	if _, err := LeastSquares(Design{Columns: [][]float64{tiny}}, []float64{1e300, 2e300, -1e300, 0}); !errors.Is(err, num.ErrOverflow) {
		t.Errorf("overflow: %v", err)
	}
}

// Degenerate fits: an exact line has no residuals, a fit of the mean no predictors.
func TestDegenerateFits(t *testing.T) {
	x := []float64{0.1, 0.2, 0.3, 0.4, 0.7}
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = 3*v + 1
	}
	f, err := LeastSquares(Design{Columns: [][]float64{x}}, y)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "slope", f.Coef[1], 3, 1e-14)
	for i := range x {
		if f.Deleted[i] != 0 || f.Cook[i] != 0 {
			t.Errorf("row %d of an exact line: deleted %v, Cook %v", i, f.Deleted[i], f.Cook[i])
		}
	}
	mean, err := LeastSquares(Design{}, x)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "mean", mean.Coef[0], num.Mean(x), 1e-15)
	testhelp.Near(t, "spread", mean.ResidualSD, num.SD(x), 1e-15)
	flat, err := LeastSquares(Design{Columns: [][]float64{x}}, []float64{5, 5, 5, 5, 5})
	if err != nil {
		t.Fatal(err)
	}
	if !math.IsNaN(flat.RSquared) || flat.Coef[1] != 0 || flat.Coef[0] != 5 {
		t.Errorf("flat response: coefficients %v, R² %v", flat.Coef, flat.RSquared)
	}
}
