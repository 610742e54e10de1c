package rank

import (
	"math"
	"math/rand/v2"
	"testing"

	"pleatstat/stats/internal/testhelp"
)

// Hollander and Wolfe, Nonparametric Statistical Methods, table 4.1 and
// examples 4.1 to 4.3: permeability of the membrane at term and earlier.
func TestHodgesLehmannPublished(t *testing.T) {
	ref := testhelp.Published(t, "hl_permeability")
	groups, values := ref.Text(t, "group"), ref.Column(t, "pd")
	var term, early []float64
	for i, g := range groups {
		if g == "term" {
			term = append(term, values[i])
		} else {
			early = append(early, values[i])
		}
	}
	r, err := HodgesLehmann([][]float64{early}, [][]float64{term}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Printed(t, "shift", r.Shift, testhelp.PublishedText(t, ref, "published", "HL"))
	want := ref.Numbers(t, "computed", "exact_ci95")
	testhelp.Near(t, "low", r.Low, want[0], 1e-12)
	testhelp.Near(t, "high", r.High, want[1], 1e-12)
	r90, _ := HodgesLehmann([][]float64{early}, [][]float64{term}, 0.90)
	want = ref.Numbers(t, "computed", "exact_ci90")
	testhelp.Near(t, "low at 90 %", r90.Low, want[0], 1e-12)
	testhelp.Near(t, "high at 90 %", r90.High, want[1], 1e-12)
	if !r.Exact {
		t.Error("no ties: want the exact range")
	}
	// The Mann–Whitney count W = 35 and its one-sided p-value.
	w := 0
	for _, a := range term {
		for _, b := range early {
			if a > b {
				w++
			}
		}
	}
	p := 0.0
	for u, q := range mannWhitney(len(term), len(early)) {
		if u >= w {
			p += q
		}
	}
	testhelp.Printed(t, "W", float64(w), testhelp.PublishedText(t, ref, "published", "W"))
	testhelp.Printed(t, "one-sided p", p, testhelp.PublishedText(t, ref, "published", "p_one_sided"))
}

// The interval of a shift shared by blocks has its nominal coverage, by the exact
// distribution and by the normal approximation (rounding to 0.01 makes ties).
func TestHodgesLehmannCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 1))
	const runs = 1500
	for _, grid := range []float64{0, 0.01} {
		covered := 0
		for range runs {
			before, after := make([][]float64, 4), make([][]float64, 4)
			for i := range before {
				for range 3 {
					b := 0.4 + 0.02*float64(i) + 0.006*rng.NormFloat64()
					a := 0.4 + 0.02*float64(i) - 0.03 + 0.006*rng.NormFloat64()
					if grid > 0 {
						a, b = grid*math.Round(a/grid), grid*math.Round(b/grid)
					}
					before[i], after[i] = append(before[i], b), append(after[i], a)
				}
			}
			r, err := HodgesLehmann(before, after, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			if r.Low <= -0.03+1e-9 && r.High >= -0.03-1e-9 {
				covered++
			}
		}
		if rate := float64(covered) / runs; rate < 0.93 {
			t.Errorf("grid %v: covered in %.3f of runs", grid, rate)
		}
	}
}

func TestHodgesLehmannEdges(t *testing.T) {
	r, err := HodgesLehmann([][]float64{{1}}, [][]float64{{3}}, 0.95)
	if err != nil || r.Shift != 2 || !math.IsInf(r.Low, -1) || !math.IsInf(r.High, 1) {
		t.Errorf("one pair: %+v, %v", r, err)
	}
	if _, err := HodgesLehmann([][]float64{{1}}, [][]float64{{}}, 0.95); err == nil {
		t.Error("one empty side was accepted")
	}
	if _, err := HodgesLehmann([][]float64{{1}}, [][]float64{{math.NaN()}}, 0.95); err == nil {
		t.Error("NaN was accepted")
	}
	if _, err := HodgesLehmann([][]float64{{1}}, nil, 0.95); err == nil {
		t.Error("numbers of blocks that differ were accepted")
	}
	same, err := HodgesLehmann([][]float64{{2, 2, 2}}, [][]float64{{2, 2, 2}}, 0.95)
	if err != nil || same.Shift != 0 {
		t.Errorf("all equal: %+v, %v", same, err)
	}
}
