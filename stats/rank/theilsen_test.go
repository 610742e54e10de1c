package rank

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// allPairs returns the slopes of all pairs of points, sorted.
func allPairs(x, y []float64) []float64 {
	var all []float64
	for j := range x {
		for i := range j {
			if x[i] != x[j] {
				all = append(all, (y[j]-y[i])/(x[j]-x[i]))
			}
		}
	}
	slices.Sort(all)
	return all
}

func TestBisectedSlopesAgreeWithListing(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for trial := range 60 {
		n := 250 + rng.IntN(300)
		step := []float64{0, 1, 0.01, 0.25, 3}[trial%5] // rounding makes ties
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = 20 + 5*rng.NormFloat64()
			y[i] = 3 + 0.4*x[i] + rng.NormFloat64()
			if step > 0 {
				x[i], y[i] = step*math.Round(x[i]/step), step*math.Round(y[i]/step)
			}
		}
		all := allPairs(x, y)
		at := bisectSlopes([]num.Series{{T: x, Y: y}})
		// The steepest slopes are between points with nearly equal x, where y - b·x
		// cancels; no interval reaches that far out.
		for k, tolerance := range map[int]float64{1: 1e-7, len(all) / 3: 1e-11, len(all) / 2: 1e-11, len(all) - 1: 1e-7} {
			if got := at(k); math.Abs(got-all[k-1]) > tolerance*math.Max(1, math.Abs(all[k-1])) {
				t.Errorf("trial %d (n %d, step %v), rank %d of %d: %v, want %v", trial, n, step, k, len(all), got, all[k-1])
			}
		}
	}
}

// Published examples, with the interval by interpolated ranks (Gilbert 1987) and
// the median residual as intercept.
func TestTheilSenPublished(t *testing.T) {
	for _, c := range []struct {
		id, x, y   string
		confidence float64
		low, high  []string
	}{
		// Sen (1968); interpolated between the ordered slopes.
		{"sen1968", "t", "y", 0.93, []string{"computed", "sen_ci", "gilb_lo"}, []string{"computed", "sen_ci", "gilb_hi"}},
		// Cobb (1978), Nile flow, with ties.
		{"mk_nile", "year", "flow", 0.95, []string{"computed", "sen_ci", "gilb_lo"}, []string{"computed", "sen_ci", "gilb_hi"}},
		// USEPA (2009) Unified Guidance, example 17-6.
		{"mk_epa_sulfate", "sampling_date", "sulfate_ppm", 0.95, []string{"computed", "sen_ci", "gilb_lo"}, []string{"computed", "sen_ci", "gilb_hi"}},
	} {
		t.Run(c.id, func(t *testing.T) {
			r := testhelp.Published(t, c.id)
			f, err := TheilSen(r.Column(t, c.x), r.Column(t, c.y), c.confidence)
			if err != nil {
				t.Fatal(err)
			}
			testhelp.Near(t, "slope", f.Slope, r.Number(t, "computed", "sen_slope"), 1e-13)
			testhelp.Near(t, "intercept", f.Intercept, r.Number(t, "computed", "intercept_median_resid"), 1e-11)
			testhelp.Near(t, "low", f.Low, r.Number(t, c.low...), 1e-12)
			testhelp.Near(t, "high", f.High, r.Number(t, c.high...), 1e-12)
		})
	}
}

func TestTheilSenInvariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for _, n := range []int{30, 400} {
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = math.Round(10 * rng.NormFloat64())
			y[i] = 2 + 0.5*x[i] + rng.NormFloat64()
		}
		beforeX, beforeY := slices.Clone(x), slices.Clone(y)
		f, err := TheilSen(x, y, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(x, beforeX) || !slices.Equal(y, beforeY) {
			t.Fatal("input was modified")
		}
		if !(f.Low < f.Slope && f.Slope < f.High) {
			t.Errorf("slope %v, range %v to %v", f.Slope, f.Low, f.High)
		}
		order := rng.Perm(n)
		g, err := TheilSen(testhelp.Picked(x, order), testhelp.Mapped(testhelp.Picked(y, order), func(v float64) float64 { return 25.4*v + 3 }), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		testhelp.NearAll(t, "other units and order", []float64{g.Slope, g.Low, g.High, g.Intercept},
			[]float64{25.4 * f.Slope, 25.4 * f.Low, 25.4 * f.High, 25.4*f.Intercept + 3}, 1e-12)
	}
}

func TestTheilSenDegenerate(t *testing.T) {
	var few *num.TooFewError
	if _, err := TheilSen([]float64{1, 2}, []float64{1, 2}, 0.95); !errors.As(err, &few) {
		t.Errorf("two points: %v", err)
	}
	var rank *num.RankError
	if _, err := TheilSen([]float64{4, 4, 4}, []float64{1, 2, 3}, 0.95); !errors.As(err, &rank) {
		t.Errorf("equal x: %v", err)
	}
	var bad *num.NonFiniteError
	if _, err := TheilSen([]float64{1, 2, 3}, []float64{1, math.NaN(), 3}, 0.95); !errors.As(err, &bad) || bad.Row != 1 {
		t.Errorf("NaN: %v", err)
	}
	f, err := TheilSen([]float64{1, 2, 3}, []float64{1, 3, 2}, 0.99)
	if err != nil || !math.IsInf(f.Low, -1) || !math.IsInf(f.High, 1) {
		t.Errorf("too few slopes for a range: %+v, %v", f, err)
	}
	n := 2000
	x, y := make([]float64, n), make([]float64, n)
	for i := range n {
		x[i], y[i] = float64(i%7), 3
	}
	if f, err := TheilSen(x, y, 0.95); err != nil || f.Slope != 0 || f.Low != 0 || f.High != 0 || f.Intercept != 3 {
		t.Errorf("constant response: %+v, %v", f, err)
	}
}

func FuzzTheilSen(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, _ uint8) {
		x := testhelp.FloatsOf(data)
		n := len(x) / 2
		fit, err := TheilSen(x[:n], x[n:2*n], 0.95)
		if err == nil && !(fit.Low <= fit.Slope && fit.Slope <= fit.High && !math.IsInf(fit.Slope, 0)) {
			t.Fatalf("slope %v, range %v to %v", fit.Slope, fit.Low, fit.High)
		}
	})
}
