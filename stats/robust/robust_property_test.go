package robust

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// spoilt returns a sample of n rows and k predictors, a share of the rows far off
// the line.
func spoilt(rng *rand.Rand, n, k int, share float64) (linear.Design, []float64) {
	d := linear.Design{Columns: make([][]float64, k)}
	y := make([]float64, n)
	for j := range k {
		d.Columns[j] = make([]float64, n)
		for i := range n {
			d.Columns[j][i] = 3 + rng.NormFloat64()
			y[i] += float64(j+1) * d.Columns[j][i]
		}
	}
	for i := range n {
		y[i] += rng.NormFloat64()
		if float64(i) < share*float64(n) {
			y[i] += 20 + 5*rng.Float64()
		}
	}
	return d, y
}

func TestRobustLineIgnoresAFarThird(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for _, n := range []int{40, 190, 500, 6000, 30_000} {
		for k := 1; k <= 3; k++ {
			d, y := spoilt(rng, n, k, 0.3)
			f, err := RobustLine(d, y, RobustOptions{})
			if err != nil {
				t.Fatal(err)
			}
			for j, se := range f.SE[1:] {
				if off := math.Abs(f.Coef[j+1] - float64(j+1)); off > 5*se {
					t.Errorf("n %d, coefficient %d of %d: off by %.3g, standard error %.3g", n, j+1, k, off, se)
				}
			}
			if f.Scale < 0.8 || f.Scale > 2.2 {
				t.Errorf("n %d, %d predictors: scale %.3g", n, k, f.Scale)
			}
		}
	}
}

// The scale of the S-estimate is at most that of any line through two points, and
// solves its equation.
func TestRobustStartAgainstAllLines(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 20 {
		d, y := spoilt(rng, 10+rng.IntN(30), 1, 0.4)
		x := d.Columns[0]
		f, err := RobustLine(d, y, RobustOptions{})
		if err != nil {
			t.Fatal(err)
		}
		r := make([]float64, len(y))
		for i := range y {
			r[i] = y[i] - f.SCoef[0] - f.SCoef[1]*x[i]
		}
		sum := 0.0
		for _, v := range r {
			rho, _ := bisquareRho(v / f.Scale)
			sum += rho
		}
		testhelp.Near(t, "mean of rho", sum/float64(len(y)-2), 0.5, 1e-8)
		for i := range y {
			for j := range i {
				b := (y[i] - y[j]) / (x[i] - x[j])
				for k := range y {
					r[k] = y[k] - y[i] - b*(x[k]-x[i])
				}
				if s := residualScale(r, 2, math.Inf(1), 0); s < f.Scale*(1-1e-9) {
					t.Fatalf("line through rows %d and %d has scale %v, start %v", i, j, s, f.Scale)
				}
			}
		}
	}
}

func TestRobustLineInvariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for _, n := range []int{50, 700} {
		d, y := spoilt(rng, n, 2, 0.25)
		before := [][]float64{slices.Clone(d.Columns[0]), slices.Clone(d.Columns[1]), slices.Clone(y)}
		f, err := RobustLine(d, y, RobustOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range [][]float64{d.Columns[0], d.Columns[1], y} {
			if !slices.Equal(x, before[i]) {
				t.Fatal("input was modified")
			}
		}
		// 25.4 times the predictors, 3 times the response and 100 more.
		scaled := linear.Design{Columns: [][]float64{
			testhelp.Mapped(d.Columns[0], func(v float64) float64 { return 25.4 * v }),
			testhelp.Mapped(d.Columns[1], func(v float64) float64 { return 25.4*v - 7 }),
		}}
		g, err := RobustLine(scaled, testhelp.Mapped(y, func(v float64) float64 { return 3*v + 100 }), RobustOptions{})
		if err != nil {
			t.Fatal(err)
		}
		testhelp.NearAll(t, "scaled slopes", g.Coef[1:], testhelp.Mapped(f.Coef[1:], func(v float64) float64 { return v * 3 / 25.4 }), 1e-8)
		testhelp.Near(t, "scaled scale", g.Scale, 3*f.Scale, 1e-8)
		order := rng.Perm(n)
		moved := linear.Design{Columns: [][]float64{testhelp.Picked(d.Columns[0], order), testhelp.Picked(d.Columns[1], order)}}
		g, err = RobustLine(moved, testhelp.Picked(y, order), RobustOptions{})
		if err != nil {
			t.Fatal(err)
		}
		testhelp.NearAll(t, "coefficients in another order of rows", g.Coef, f.Coef, 1e-9)
		testhelp.NearAll(t, "weights in another order of rows", g.Weights, testhelp.Picked(f.Weights, order), 1e-7)
	}
}

func TestRobustLineExactAndDegenerate(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6, 7, 8}
	y := testhelp.Mapped(x, func(v float64) float64 { return 2 - 0.5*v })
	y[3], y[6] = 40, -7
	f, err := RobustLine(linear.Design{Columns: [][]float64{x}}, y, RobustOptions{})
	if err != nil {
		t.Fatal(err)
	}
	testhelp.NearAll(t, "exact line", f.Coef, []float64{2, -0.5}, 1e-12)
	if f.Scale != 0 || !slices.Equal(f.Weights, []float64{1, 1, 1, 0, 1, 1, 0, 1}) {
		t.Errorf("exact line: scale %v, weights %v", f.Scale, f.Weights)
	}
	if low, _ := f.Interval(1, 0.95); !math.IsNaN(low) {
		t.Errorf("exact line: range from %v, want NaN", low)
	}

	var few *num.TooFewError
	if _, err := RobustLine(linear.Design{Columns: [][]float64{x[:3]}}, y[:3], RobustOptions{}); !errors.As(err, &few) || few.Need != 4 {
		t.Errorf("three rows: %v", err)
	}
	var rank *num.RankError
	if _, err := RobustLine(linear.Design{Columns: [][]float64{slices.Repeat([]float64{0.1}, 8)}}, y, RobustOptions{}); !errors.As(err, &rank) {
		t.Errorf("equal x: %v", err)
	}
	var bad *num.NonFiniteError
	y[2] = math.NaN()
	if _, err := RobustLine(linear.Design{Columns: [][]float64{x}}, y, RobustOptions{}); !errors.As(err, &bad) || bad.Row != 2 {
		t.Errorf("NaN: %v", err)
	}
}

// Two candidates for the S-estimate may be equal except for rounding.
func TestRobustStartWithTies(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		n := 8 + rng.IntN(60)
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i], y[i] = float64(rng.IntN(6)), float64(rng.IntN(5))
		}
		f, err := RobustLine(linear.Design{Columns: [][]float64{x}}, y, RobustOptions{})
		if err == nil && (math.IsNaN(f.Scale) || !num.AllFinite(f.Coef)) {
			t.Fatalf("x %v, y %v: scale %v, coefficients %v", x, y, f.Scale, f.Coef)
		}
	}
}
