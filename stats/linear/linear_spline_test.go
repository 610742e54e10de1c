package linear

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func TestLinearSpline(t *testing.T) {
	years := []float64{2024, 2019, 2021, math.NaN(), 2020, 2022, 2023, 2021, math.Inf(1)}
	h := NewLinearSpline(years, 2)
	want := LinearSpline{Origin: 2024, Low: 2019, High: 2024, Knots: []float64{2019 + 5.0/3, 2019 + 10.0/3}}
	if d := cmp.Diff(want, h, cmpopts.EquateApprox(0, 1e-9)); d != "" {
		t.Error(d)
	}
	at := func(x float64) []float64 {
		out := make([]float64, h.Len())
		h.At(x, out)
		return out
	}
	for _, c := range []struct {
		t    float64
		want []float64
	}{
		{2024, []float64{0, 0, 0}},
		{2026, []float64{0, 0, 0}}, // beyond High: as at High
		{2019, []float64{-5, -5 + 5.0/3, -5 + 10.0/3}},
		{2000, []float64{-5, -5 + 5.0/3, -5 + 10.0/3}},
		{2021, []float64{-3, -3, -5 + 10.0/3}},
	} {
		if d := cmp.Diff(c.want, at(c.t), cmpopts.EquateApprox(0, 1e-9)); d != "" {
			t.Errorf("at %g: %s", c.t, d)
		}
	}
}

func TestLinearSplineOfLittle(t *testing.T) {
	for _, c := range []struct {
		t     []float64
		knots int
	}{{nil, 0}, {[]float64{2020}, 0}, {[]float64{math.NaN()}, 0}, {[]float64{2020, 2021}, 0}, {[]float64{2020, 2021, 2022}, 1}} {
		if h := NewLinearSpline(c.t, 4); len(h.Knots) != c.knots {
			t.Errorf("%v: %d knots, want %d", c.t, len(h.Knots), c.knots)
		}
	}
}

// A piecewise linear curve is in the span of the basis with its knots.
func TestLinearSplineReproduceACurve(t *testing.T) {
	x := make([]float64, 41)
	y := make([]float64, 41)
	for i := range x {
		x[i] = float64(i) / 10
		y[i] = 1 + 2*x[i] - 3*math.Max(0, x[i]-1) + 0.5*math.Max(0, x[i]-3)
	}
	h := NewLinearSpline(x, 3) // knots at 1, 2 and 3
	d := Design{Columns: make([][]float64, h.Len())}
	row := make([]float64, h.Len())
	for _, v := range x {
		h.At(v, row)
		for j := range row {
			d.Columns[j] = append(d.Columns[j], row[j])
		}
	}
	f, err := LeastSquares(d, y)
	if err != nil {
		t.Fatal(err)
	}
	for j, want := range []float64{0.5, 2, -3, 0, 0.5} {
		if math.Abs(f.Coef[j]-want) > 1e-10 { // the first is the curve at the end, x = 4
			t.Errorf("coefficient %d: %g, want %g", j, f.Coef[j], want)
		}
	}
}

func TestCompressRowsKeepsCrossProducts(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{0, 1, 3, 4, 30} {
		rows := make([][]float64, n)
		for i := range rows {
			rows[i] = []float64{rng.NormFloat64(), rng.NormFloat64(), 0}
			rows[i][2] = rows[i][0] // dependent
		}
		cross := func(rows [][]float64) (out [3][3]float64) {
			for _, r := range rows {
				for a := range r {
					for b := range r {
						out[a][b] += r[a] * r[b]
					}
				}
			}
			return out
		}
		before := cross(rows)
		short := CompressRows(rows)
		if len(short) > 3 {
			t.Errorf("%d rows became %d", n, len(short))
		}
		if d := cmp.Diff(before, cross(short), cmpopts.EquateApprox(1e-12, 1e-12)); d != "" {
			t.Errorf("%d rows: %s", n, d)
		}
		if cross(rows) != before {
			t.Errorf("%d rows: the rows given were changed", n)
		}
	}
}
