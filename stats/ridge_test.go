package stats

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// longley returns Longley's (1967) data and the variances (divisor n) of its
// columns.
func longley(t testing.TB) (d Design, y, variances []float64) {
	r := published(t, "strd_longley")
	d.Columns = r.columns(t, "x1", "x2", "x3", "x4", "x5", "x6")
	for _, c := range d.Columns {
		n := float64(len(c))
		variances = append(variances, SD(c)*SD(c)*(n-1)/n)
	}
	return d, r.column(t, "y"), variances
}

// Coefficients computed with R 4.2.2, MASS 7.3-58.2 (Venables and Ripley, Modern
// Applied Statistics with S, 2002), lm.ridge on Longley's data. It scales the
// columns by their standard deviations with divisor n, so that its penalty is
// one with the variances as weights.
var longleyRidge = []struct {
	penalty float64
	coef    []float64
}{
	{0.001, []float64{-3252542.92467911, 7.14896597455969, -0.0278813239359839, -1.90439165847484, -1.00190228330603, -0.0837472787700029, 1712.18698332889}},
	{0.01, []float64{-2307348.32788682, -2.49993555592598, -0.00186823671886992, -1.50426650795791, -0.872842221955483, -0.14894365117187, 1227.02083201008}},
	{0.1, []float64{-952429.073366243, 61.3640278153822, 0.0116324720736025, -1.17881017177011, -0.657491874276883, 0.00747415973953998, 517.573369372809}},
	{1, []float64{-408547.398907465, 85.7468584437062, 0.0112811522571001, -0.821936945938027, -0.291795574628848, 0.117218872270673, 230.438924838661}},
	{10, []float64{-252374.266121736, 66.536542075237, 0.007804555935473, -0.0458914721338307, 0.321842490672659, 0.100277158565163, 151.155073501218}},
}

func TestRidgeAgainstMASS(t *testing.T) {
	d, y, variances := longley(t)
	r, err := NewRidge(d, y, RidgeOptions{Weights: variances})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range longleyRidge {
		f, err := r.Fit(c.penalty)
		if err != nil {
			t.Fatal(err)
		}
		nearAll(t, fmt.Sprintf("penalty %g, coefficient", c.penalty), f.Coef, c.coef, 1e-8)
	}
}

// Without a penalty, and with an infinite one, least squares is known.
func TestRidgeLimits(t *testing.T) {
	d, y, variances := longley(t)
	certified := published(t, "strd_longley").numbers(t, "published", "beta")
	variances[5] = 0 // the year is never penalised
	r, err := NewRidge(d, y, RidgeOptions{Weights: variances})
	if err != nil {
		t.Fatal(err)
	}
	f, err := r.Fit(0)
	if err != nil {
		t.Fatal(err)
	}
	nearAll(t, "no penalty, NIST StRD Longley, coefficient", f.Coef, certified, 1e-8)
	near(t, "number of coefficients", f.Effective, 7, 1e-10)

	f, err = r.Fit(math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	line, err := LeastSquares(Design{Columns: d.Columns[5:]}, y)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "intercept", f.Coef[0], line.Coef[0], 1e-9)
	near(t, "slope of the year", f.Coef[6], line.Coef[1], 1e-9)
	for j := 1; j < 6; j++ {
		if f.Coef[j] != 0 {
			t.Errorf("coefficient %d is %g, want 0 at an infinite penalty", j, f.Coef[j])
		}
	}
	near(t, "effective coefficients", f.Effective, 2, 1e-10)
	fit, variance := f.Predict([]float64{90, 300000, 3000, 2000, 110000, 1955})
	want, se := line.PredictionSE([]float64{1955})
	near(t, "prediction", fit, want, 1e-9)
	near(t, "its variance", variance, se*se/(line.ResidualSD*line.ResidualSD)-1, 1e-7)
}

// ridgeSample is a random design for the twins, every third column without a
// penalty.
func ridgeSample(seed uint64, n, p int) (Design, []float64, []float64) {
	rng := rand.New(rand.NewPCG(seed, 1))
	d := Design{Columns: make([][]float64, p)}
	y := make([]float64, n)
	weights := make([]float64, p)
	for j := range d.Columns {
		d.Columns[j] = make([]float64, n)
		weights[j] = float64(j % 3) // 0: without a penalty
		for i := range n {
			d.Columns[j][i] = 5 + rng.NormFloat64()*math.Pow(10, float64(j%4-1))
			y[i] += d.Columns[j][i] * rng.NormFloat64() * 0.1
		}
	}
	for i := range y {
		y[i] += rng.NormFloat64()
	}
	return d, y, weights
}

// without returns the rows that are not in group g.
func without(d Design, y []float64, groups []int, g int) (Design, []float64) {
	out := Design{Columns: make([][]float64, len(d.Columns)), NoIntercept: d.NoIntercept}
	var left []float64
	for i := range y {
		if groups[i] == g {
			continue
		}
		left = append(left, y[i])
		for j := range d.Columns {
			out.Columns[j] = append(out.Columns[j], d.Columns[j][i])
		}
	}
	return out, left
}

// The slow twin of every leave-out formula is the fit to the other rows.
func TestRidgeLeavesOutLikeRefits(t *testing.T) {
	for _, c := range []struct {
		name        string
		n, p, size  int
		noIntercept bool
	}{
		{"single rows", 30, 7, 1, false},
		{"pairs", 30, 7, 2, false},
		{"groups of four, no intercept", 40, 6, 4, true},
		{"more columns than rows", 12, 15, 2, false},
	} {
		d, y, weights := ridgeSample(uint64(c.n+c.p), c.n, c.p)
		if c.p > c.n {
			for j := 1; j < c.p; j++ {
				weights[j] = 1
			}
		}
		d.NoIntercept = c.noIntercept
		groups := make([]int, c.n)
		for i := range groups {
			groups[i] = i * 7 % c.n / c.size // scattered
		}
		var passed []int
		if c.size > 1 {
			passed = groups
		} else {
			for i := range groups {
				groups[i] = i
			}
		}
		r, err := NewRidge(d, y, RidgeOptions{Weights: weights, Groups: passed})
		if err != nil {
			t.Fatal(c.name, err)
		}
		for _, penalty := range []float64{0.01, 3, 500, math.Inf(1)} {
			f, err := r.Fit(penalty)
			if err != nil {
				t.Fatal(c.name, err)
			}
			errors, variances := f.LeftOut()
			for g := range c.n / c.size {
				subset, left := without(d, y, groups, g)
				twin, err := NewRidge(subset, left, RidgeOptions{Weights: weights})
				if err != nil {
					t.Fatal(c.name, err)
				}
				refit, err := twin.Fit(penalty)
				if err != nil {
					t.Fatal(c.name, err)
				}
				w, ok := f.Without(g)
				if !ok {
					t.Fatalf("%s: group %d cannot be left out", c.name, g)
				}
				for j := range w.Coef {
					if math.Abs(w.Coef[j]-refit.Coef[j]) > 1e-9*(1+math.Abs(refit.Coef[j])) {
						t.Errorf("%s, penalty %g, group %d, coefficient %d: %g, refit %g", c.name, penalty, g, j, w.Coef[j], refit.Coef[j])
					}
				}
				for i := range y {
					x := make([]float64, c.p)
					for j := range x {
						x[j] = d.Columns[j][i]
					}
					fit, variance := w.Predict(x)
					want, wantVariance := refit.Predict(x)
					near(t, c.name+" prediction", fit, want, 1e-8)
					near(t, c.name+" variance", variance, wantVariance, 1e-7)
					if groups[i] == g && math.Abs(errors[i]-(y[i]-want)) > 1e-8*(1+math.Abs(y[i])) {
						t.Errorf("%s, penalty %g, row %d: left-out error %g, refit %g", c.name, penalty, i, errors[i], y[i]-want)
					}
					if groups[i] == g {
						near(t, c.name+" variance of the error", variances[i], 1+wantVariance, 1e-7)
					}
				}
			}
		}
	}
}

func TestRidgeFromZeroPenaltyIsLeastSquares(t *testing.T) {
	d, y, weights := ridgeSample(3, 50, 6)
	r, err := NewRidge(d, y, RidgeOptions{Weights: weights})
	if err != nil {
		t.Fatal(err)
	}
	f, err := r.Fit(0)
	if err != nil {
		t.Fatal(err)
	}
	least, err := LeastSquares(d, y)
	if err != nil {
		t.Fatal(err)
	}
	nearAll(t, "coefficient", f.Coef, least.Coef, 1e-10)
	nearAll(t, "leverage", f.Leverage, least.Leverage, 1e-10)
	nearAll(t, "residual", f.Residuals, least.Residuals, 1e-9)
}

// Scaling a column and its relative penalty together changes nothing; neither
// does the order of rows, beyond rounding.
func TestRidgeInvariance(t *testing.T) {
	d, y, weights := ridgeSample(5, 40, 6)
	r, _ := NewRidge(d, y, RidgeOptions{Weights: weights})
	f, err := r.Fit(2)
	if err != nil {
		t.Fatal(err)
	}
	moved := Design{Columns: make([][]float64, len(d.Columns))}
	scaled := slices.Clone(weights)
	for j, c := range d.Columns {
		moved.Columns[j] = slices.Clone(c)
		slices.Reverse(moved.Columns[j])
		for i := range c {
			moved.Columns[j][i] = moved.Columns[j][i]*25.4 + 3
		}
		scaled[j] *= 25.4 * 25.4
	}
	reversed := slices.Clone(y)
	slices.Reverse(reversed)
	q, _ := NewRidge(moved, reversed, RidgeOptions{Weights: scaled})
	g, err := q.Fit(2)
	if err != nil {
		t.Fatal(err)
	}
	for j := 1; j < len(f.Coef); j++ {
		near(t, "coefficient", g.Coef[j]*25.4, f.Coef[j], 1e-9)
	}
	for i := range y {
		near(t, "fitted", g.Fitted[len(y)-1-i], f.Fitted[i], 1e-9)
	}
}

func TestRidgeErrors(t *testing.T) {
	d := Design{Names: []string{"a", "b"}, Columns: [][]float64{{1, 2, 3, 4}, {2, 4, 6, 8}}}
	y := []float64{1, 3, 2, 5}
	try := func(d Design, y []float64, o RidgeOptions, penalty float64) error {
		r, err := NewRidge(d, y, o)
		if err != nil {
			return err
		}
		_, err = r.Fit(penalty)
		return err
	}
	var rank *RankError
	if err := try(d, y, RidgeOptions{}, 0); !errors.As(err, &rank) || !slices.Equal(rank.Columns, []string{"a", "b"}) {
		t.Errorf("dependent columns without a penalty: %v", err)
	}
	if err := try(d, y, RidgeOptions{}, 1e-3); err != nil {
		t.Errorf("dependent columns with a penalty: %v", err)
	}
	if err := try(d, y, RidgeOptions{Weights: []float64{0, 0}}, 1); !errors.As(err, &rank) {
		t.Errorf("dependent free columns: %v", err)
	}
	var weight *WeightError
	if err := try(d, y, RidgeOptions{Weights: []float64{1, -1}}, 1); !errors.As(err, &weight) {
		t.Errorf("negative weight: %v", err)
	}
	var length *LengthError
	if err := try(d, y, RidgeOptions{Weights: []float64{1}}, 1); !errors.As(err, &length) {
		t.Errorf("one weight for two columns: %v", err)
	}
	if err := try(d, y[:3], RidgeOptions{}, 1); !errors.As(err, &length) {
		t.Errorf("short response: %v", err)
	}
	var group *GroupError
	if err := try(d, y, RidgeOptions{Groups: []int{0, 1, 9, 2}}, 1); !errors.As(err, &group) || group.Row != 2 {
		t.Errorf("group out of range: %v", err)
	}
	var number *NonFiniteError
	if err := try(d, []float64{1, math.NaN(), 2, 3}, RidgeOptions{}, 1); !errors.As(err, &number) || number.Row != 1 {
		t.Errorf("NaN in the response: %v", err)
	}
	var few *TooFewError
	if err := try(Design{Columns: [][]float64{{1}}}, []float64{1}, RidgeOptions{}, 1); !errors.As(err, &few) {
		t.Errorf("one row: %v", err)
	}
	var penalty *PenaltyError
	for _, bad := range []float64{-1, math.NaN()} {
		if err := try(d, y, RidgeOptions{}, bad); !errors.As(err, &penalty) {
			t.Errorf("penalty %g: %v", bad, err)
		}
	}
	huge := Design{Columns: [][]float64{{1e300, -1e300, 1e300, 1e299}, {1e308, 1, 2, -1e308}}}
	if err := try(huge, y, RidgeOptions{}, 1); err == nil {
		t.Error("columns near the end of the range: no error")
	}
}

// A group that alone determines a coefficient cannot be left out.
func TestRidgeWithoutTheOnlyMember(t *testing.T) {
	d := Design{Columns: [][]float64{{0, 0, 0, 0, 1}, {1, 2, 3, 4, 5}}}
	y := []float64{1, 2, 3, 5, 9}
	r, err := NewRidge(d, y, RidgeOptions{Weights: []float64{0, 1}})
	if err != nil {
		t.Fatal(err)
	}
	f, err := r.Fit(1)
	if err != nil {
		t.Fatal(err)
	}
	if e, _ := f.LeftOut(); !math.IsNaN(e[4]) || math.IsNaN(e[0]) {
		t.Errorf("left-out errors %v: want NaN for the last row alone", e)
	}
	if _, ok := f.Without(4); ok {
		t.Error("the only member was left out")
	}
	if _, ok := f.Without(5); ok {
		t.Error("a group that is not there was left out")
	}
}

func TestRidgeKeepsItsInput(t *testing.T) {
	d, y, weights := ridgeSample(9, 20, 5)
	c, yc, wc := Design{Columns: make([][]float64, 5)}, slices.Clone(y), slices.Clone(weights)
	for j := range d.Columns {
		c.Columns[j] = slices.Clone(d.Columns[j])
	}
	r, err := NewRidge(d, y, RidgeOptions{Weights: weights})
	if err != nil {
		t.Fatal(err)
	}
	f, err := r.Fit(1)
	if err != nil {
		t.Fatal(err)
	}
	f.LeftOut()
	f.Without(0)
	if !cmp.Equal(d, c) || !slices.Equal(y, yc) || !slices.Equal(weights, wc) {
		t.Error("NewRidge changed its input")
	}
}
