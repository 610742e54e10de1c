package linear

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// normalityCases are published samples: Shapiro and Wilk (1965), Bliss (1967) in
// D'Agostino and Stephens (1986), Rosner (1983), the Nile flows, Michelson's
// speeds of light, and the residuals of the stack loss regression. The expected
// values are those of shapiro.test in R 4.2.2.
var normalityCases = []struct {
	id, column         string
	w, wp              string // keys of the computed values
	residualsOfStackOn bool
}{
	{"shapiro_weights11", "weight_lb", "W", "p", false},
	{"ad_chicks20", "weight_g", "W", "W_p", false},
	{"norm_rosner54", "x", "W", "W_p", false},
	{"norm_nile", "flow", "W", "W_p", false},
	{"norm_michelson", "x", "W", "W_p", false},
	{"norm_resid_stackloss", "stack_loss", "W", "W_p", true},
}

func TestNormalityPublished(t *testing.T) {
	for _, c := range normalityCases {
		t.Run(c.id, func(t *testing.T) {
			r := testhelp.Published(t, c.id)
			x := r.Column(t, c.column)
			if c.residualsOfStackOn {
				f, err := LeastSquares(Design{Columns: r.Columns(t, "air_flow", "water_temp", "acid_conc")}, x)
				if err != nil {
					t.Fatal(err)
				}
				x = f.Residuals
			}
			w, wp, err := ShapiroWilk(x)
			if err != nil {
				t.Fatal(err)
			}
			testhelp.Near(t, "W", w, r.Number(t, "computed", c.w), 1e-8)
			testhelp.Near(t, "p of W", wp, r.Number(t, "computed", c.wp), 1e-6)
		})
	}
	// Shapiro and Wilk print W = 0.79 for the 11 weights.
	w, _, _ := ShapiroWilk(testhelp.Published(t, "shapiro_weights11").Column(t, "weight_lb"))
	if math.Round(w*100) != 79 {
		t.Errorf("W %.4f, printed 0.79", w)
	}
}

// The test keeps its level on normal samples and has power on lognormal ones.
func TestNormalitySize(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	const runs = 2000
	for _, n := range []int{3, 5, 10, 12, 50, 300} {
		var rejectW, powerW float64
		x := make([]float64, n)
		for range runs {
			for i := range x {
				x[i] = rng.NormFloat64()
			}
			if _, p, err := ShapiroWilk(x); err != nil {
				t.Fatal(err)
			} else if p <= 0.05 {
				rejectW++
			}
			for i := range x {
				x[i] = math.Exp(rng.NormFloat64())
			}
			if _, p, _ := ShapiroWilk(x); p <= 0.05 {
				powerW++
			}
		}
		// Four standard errors of a share of 0.05 in 2000 runs, plus the error of
		// the published approximation.
		const allowed = 0.025
		if math.Abs(rejectW/runs-0.05) > allowed {
			t.Errorf("n %d: W rejects %.3f of normal samples", n, rejectW/runs)
		}
		if n >= 50 && powerW/runs < 0.99 {
			t.Errorf("n %d: W rejects only %.3f of lognormal samples", n, powerW/runs)
		}
	}
}

func TestNormalityRefuses(t *testing.T) {
	var few *num.TooFewError
	var many *num.TooManyError
	var bad *num.NonFiniteError
	if _, _, err := ShapiroWilk([]float64{1, 2}); !errors.As(err, &few) || few.Need != 3 {
		t.Errorf("two values: %v", err)
	}
	if _, _, err := ShapiroWilk(make([]float64, 5)); !errors.Is(err, num.ErrNoSpread) {
		t.Errorf("equal values: %v", err)
	}
	long := make([]float64, 5001)
	for i := range long {
		long[i] = float64(i)
	}
	if _, _, err := ShapiroWilk(long); !errors.As(err, &many) || many.Most != 5000 {
		t.Errorf("5001 values: %v", err)
	}
	if _, _, err := ShapiroWilk([]float64{1, 2, math.NaN(), 4, 5, 6, 7, 8}); !errors.As(err, &bad) || bad.Row != 2 {
		t.Errorf("NaN: %v", err)
	}
}

// Breusch–Pagan, against lmtest 0.9-40 in R and the values that statsmodels prints.
func TestBreuschPaganPublished(t *testing.T) {
	for _, c := range []struct {
		id, response string
		columns      []string
	}{
		{"bp_macrodata", "y", []string{"x1", "x2"}},
		{"bp_stackloss", "stack_loss", []string{"air_flow", "water_temp", "acid_conc"}},
		{"bp_longley", "y", []string{"x1", "x2", "x3", "x4", "x5", "x6"}},
		{"bp_cars", "dist", []string{"speed"}},
	} {
		t.Run(c.id, func(t *testing.T) {
			r := testhelp.Published(t, c.id)
			d := Design{Columns: r.Columns(t, c.columns...)}
			f, err := LeastSquares(d, r.Column(t, c.response))
			if err != nil {
				t.Fatal(err)
			}
			lm, p, err := BreuschPagan(f, d)
			if err != nil {
				t.Fatal(err)
			}
			testhelp.NearAll(t, "studentised", []float64{lm, p}, r.Numbers(t, "computed", "koenker"), 1e-10)
		})
	}
}

func TestCurvature(t *testing.T) {
	// Anscombe (1973): his second set is a parabola, the first is not.
	r := testhelp.Published(t, "anscombe2")
	tValue, p, err := Curvature(r.Column(t, "x2"), r.Column(t, "y2"))
	if err != nil || tValue > -1000 || p > 1e-20 {
		t.Errorf("Anscombe 2: t %v, p %v, %v", tValue, p, err)
	}
	if _, p, err := Curvature(r.Column(t, "x1"), r.Column(t, "y1")); err != nil || p < 0.1 {
		t.Errorf("Anscombe 1: p %v, %v", p, err)
	}
	// cars (Ezekiel 1930): R's lm gives t = 1.515, p = 0.136 for the quadratic term.
	cars := testhelp.Published(t, "bp_cars")
	tValue, p, err = Curvature(cars.Column(t, "speed"), cars.Column(t, "dist"))
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "t on cars", tValue, 1.515, 5e-4)
	testhelp.Near(t, "p on cars", p, 0.1364, 5e-4)

	x := []float64{1, 2, 3, 4, 5}
	if _, _, err := Curvature(x, []float64{2, 4, 6, 8, 10}); !errors.Is(err, num.ErrNoSpread) {
		t.Errorf("straight line: %v", err)
	}
	if tValue, p, err := Curvature(x, []float64{1, 4, 9, 16, 25}); err != nil || !math.IsInf(tValue, 1) || p != 0 {
		t.Errorf("parabola: t %v, p %v, %v", tValue, p, err)
	}
	var rank *num.RankError
	if _, _, err := Curvature([]float64{1, 1, 2, 2, 2}, []float64{1, 2, 3, 4, 6}); !errors.As(err, &rank) {
		t.Errorf("two different x: %v", err)
	}
}

// Cook's criterion on published sets: row 9 (index 8) dominates the fit of the
// delivery times; in Anscombe's fourth set one row alone determines the slope.
func TestInfluential(t *testing.T) {
	r := testhelp.Published(t, "infl_delivery")
	f, err := LeastSquares(Design{Columns: r.Columns(t, "n_prod", "distance")}, r.Column(t, "del_time"))
	if err != nil {
		t.Fatal(err)
	}
	if rows := f.Influential(); len(rows) != 1 || rows[0] != 8 {
		t.Errorf("delivery: rows %v, want 8 alone", rows)
	}
	r = testhelp.Published(t, "anscombe4")
	f, err = LeastSquares(Design{Columns: r.Columns(t, "x4")}, r.Column(t, "y4"))
	if err != nil {
		t.Fatal(err)
	}
	if rows := f.Influential(); len(rows) != 1 || rows[0] != 7 {
		t.Errorf("Anscombe 4: rows %v, want 7 alone", rows)
	}
}
