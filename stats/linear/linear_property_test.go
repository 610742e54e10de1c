package linear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// How a fit must respond to changes of units, offsets, the order of rows and
// duplicated rows.
func TestLeastSquaresInvariance(t *testing.T) {
	const tolerance = 1e-11
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 4))
		n, p := 8+rng.IntN(60), 1+rng.IntN(4)
		d, y := noisyPlane(n, p, seed)
		keep := slices.Clone(y)
		f, err := LeastSquares(d, y)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(keep, y) {
			t.Fatal("response changed")
		}
		again := func(what string, d Design, y []float64) *Fit {
			g, err := LeastSquares(d, y)
			if err != nil {
				t.Fatalf("seed %d, %s: %v", seed, what, err)
			}
			return g
		}
		apply := func(change func([]float64) []float64) Design {
			out := Design{}
			for _, c := range d.Columns {
				out.Columns = append(out.Columns, change(c))
			}
			return out
		}
		name := func(what string) string { return fmt.Sprintf("seed %d, %s", seed, what) }

		inches := again("inches", apply(func(c []float64) []float64 { return testhelp.Mapped(c, func(v float64) float64 { return v / 25.4 }) }), y)
		testhelp.NearAll(t, name("units of columns: deleted"), inches.Deleted, f.Deleted, tolerance)
		testhelp.NearAll(t, name("units of columns: slopes"), testhelp.Mapped(inches.Coef[1:], func(v float64) float64 { return v / 25.4 }), f.Coef[1:], tolerance)
		testhelp.Near(t, name("units of columns: condition"), inches.Condition, f.Condition, 1e-9)

		cents := again("cents", d, testhelp.Mapped(y, func(v float64) float64 { return 100 * v }))
		testhelp.NearAll(t, name("units of response: Cook"), cents.Cook, f.Cook, tolerance)
		testhelp.Near(t, name("units of response: SD"), cents.ResidualSD, 100*f.ResidualSD, tolerance)

		years := again("offset", apply(func(c []float64) []float64 { return testhelp.Mapped(c, func(v float64) float64 { return v + 2048 }) }), y)
		testhelp.NearAll(t, name("offset of columns: SE"), years.SE[1:], f.SE[1:], tolerance)
		testhelp.NearAll(t, name("offset of columns: leverage"), years.Leverage, f.Leverage, tolerance)

		order := rng.Perm(n)
		mixed := again("order", apply(func(c []float64) []float64 { return testhelp.Picked(c, order) }), testhelp.Picked(y, order))
		testhelp.NearAll(t, name("order of rows: coefficients"), mixed.Coef, f.Coef, tolerance)
		testhelp.NearAll(t, name("order of rows: deleted"), mixed.Deleted, testhelp.Picked(f.Deleted, order), tolerance)

		twice := again("doubled", apply(func(c []float64) []float64 { return slices.Concat(c, c) }), slices.Concat(y, y))
		testhelp.NearAll(t, name("doubled rows: coefficients"), twice.Coef, f.Coef, tolerance)
		testhelp.NearAll(t, name("doubled rows: leverage"), twice.Leverage[:n], testhelp.Mapped(f.Leverage, func(v float64) float64 { return v / 2 }), tolerance)

		// Residuals are orthogonal to every column.
		for j, c := range d.Columns {
			var dot num.DoubleDouble
			for i, r := range f.Residuals {
				dot = dot.Add(num.TwoSum(r, 0).MulFloat(c[i]))
			}
			if math.Abs(dot.Value()) > 1e-12*float64(n) {
				t.Errorf("%s: residuals and column %d give %v", name("angles"), j, dot.Value())
			}
		}
	}
}

// The same for the tests of a sample or a line.
func TestDiagnosticsInvariance(t *testing.T) {
	for seed := range uint64(10) {
		d, y := noisyPlane(30, 1, seed)
		x := d.Columns[0]
		order := rand.New(rand.NewPCG(seed, 9)).Perm(len(x))
		scale := func(v float64) float64 { return 25.4*v + 1000 }
		keepX, keepY := slices.Clone(x), slices.Clone(y)
		for what, p := range map[string]func(x, y []float64) float64{
			"Shapiro–Wilk": func(_, y []float64) float64 { _, p, _ := ShapiroWilk(y); return p },
			"curvature":    func(x, y []float64) float64 { _, p, _ := Curvature(x, y); return p },
			"Breusch–Pagan": func(x, y []float64) float64 {
				d := Design{Columns: [][]float64{x}}
				f, err := LeastSquares(d, y)
				if err != nil {
					t.Fatal(err)
				}
				_, p, _ := BreuschPagan(f, d)
				return p
			},
		} {
			want := p(x, y)
			testhelp.Near(t, what+" in other units", p(testhelp.Mapped(x, scale), testhelp.Mapped(y, scale)), want, 1e-9)
			testhelp.Near(t, what+" in another order", p(testhelp.Picked(x, order), testhelp.Picked(y, order)), want, 1e-9)
		}
		if !slices.Equal(keepX, x) || !slices.Equal(keepY, y) {
			t.Fatal("input changed")
		}
	}
}

// Double-double sums keep digits that plain sums lose.
func TestDoubledArithmetic(t *testing.T) {
	var s num.DoubleDouble
	for _, v := range []float64{1 << 60, 1, 0x1p-40, -1 << 60, 1, -1} {
		s = s.AddFloat(v)
	}
	if got := s.AddFloat(-1).Value(); got != 0x1p-40 {
		t.Errorf("sum %v, want 2^-40", got)
	}
	third := num.DoubleDouble{Hi: 1, Lo: 0}.DivFloat(3)
	if got := third.MulFloat(3).AddFloat(-1).Value(); math.Abs(got) > 1e-31 {
		t.Errorf("3·(1/3) is off by %v", got)
	}
	a := num.TwoSum(math.Pi, 1e-17)
	if got := a.Mul(a).Sub(num.TwoSum(math.Pi, 0).Mul(num.TwoSum(math.Pi, 0))).Value(); math.Abs(got/(2*math.Pi*1e-17)-1) > 1e-10 {
		t.Errorf("squares differ by %v", got)
	}
}
