package rank

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/num"
)

// oneBlock is the result of the blocked test for one block.
type oneBlock struct {
	KendallResult
	Exact bool // P comes from the exact distribution
}

// kendall runs the blocked test on one block; P is the exact p-value if there is
// one.
func kendall(x, y []float64) (oneBlock, error) {
	b, err := BlockedKendall([]num.Series{{T: x, Y: y}})
	if err != nil {
		return oneBlock{}, err
	}
	r := oneBlock{KendallResult: b.Each[0]}
	if !math.IsNaN(b.ExactP) {
		r.P, r.Exact = b.ExactP, true
	}
	return r, nil
}

// USEPA (2000), Guidance for Data Quality Assessment, QA/G-9, boxes 4-8 and
// 4-10; Gilbert (1987), Statistical Methods for Environmental Pollution
// Monitoring, section 16.4.1.
func TestKendallExactPublished(t *testing.T) {
	gilbert := testhelp.Published(t, "mk_gilbert4")
	r, err := kendall([]float64{1, 2, 3, 4}, []float64{10, 15, 14, 20})
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "S", float64(r.S), gilbert.Number(t, "published", "S"), 0)
	testhelp.Printed(t, "one-sided p", r.P/2, testhelp.PublishedText(t, gilbert, "published", "p_one_sided"))

	small := testhelp.Published(t, "mk_epa_small")
	r, err = kendall(small.Column(t, "t"), small.Column(t, "x"))
	if err != nil {
		t.Fatal(err)
	}
	testhelp.Near(t, "S", float64(r.S), small.Number(t, "published", "S"), 0)
	testhelp.Printed(t, "one-sided p", r.P/2, testhelp.PublishedText(t, small, "published", "p_one_sided"))
	if !r.Exact {
		t.Error("five values without ties: want the exact p")
	}
}

func TestKendallPublished(t *testing.T) {
	for _, c := range []struct{ id, x, y string }{
		{"mk_epa_large", "week", "x"},                      // QA/G-9, box 4-10
		{"mk_epa_sulfate", "sampling_date", "sulfate_ppm"}, // USEPA (2009), Unified Guidance, example 17-6
		{"mk_epa_sodium", "year", "sodium_ppm"},            // the same, example 17-7
		{"mk_nile", "year", "flow"},                        // Cobb (1978); computed with R 4.2.2
		{"sen1968", "t", "y"},                              // Sen (1968); computed with R 4.2.2
	} {
		t.Run(c.id, func(t *testing.T) {
			ref := testhelp.Published(t, c.id)
			r, err := kendall(ref.Column(t, c.x), ref.Column(t, c.y))
			if err != nil {
				t.Fatal(err)
			}
			testhelp.Near(t, "S", float64(r.S), ref.Number(t, "computed", "S"), 0)
			testhelp.Near(t, "Var", r.Var, ref.Number(t, "computed", "varS"), 1e-13)
			testhelp.Near(t, "Z", r.Z, ref.Number(t, "computed", "Z"), 1e-13)
			testhelp.Near(t, "p of the normal limit", num.TwoSided(r.Z), ref.Number(t, "computed", "p_two"), 1e-11)
			testhelp.Near(t, "tau a", r.TauA, ref.Number(t, "computed", "tau_a"), 1e-13)
			testhelp.Near(t, "tau b", r.TauB, ref.Number(t, "computed", "tau_b"), 1e-13)
			for key, value := range map[string]float64{"varS": r.Var, "tau": r.TauA, "tau_a": r.TauA, "z": r.Z, "p": num.TwoSided(r.Z)} {
				if ref.Has("published", key) {
					testhelp.Printed(t, key, value, testhelp.PublishedText(t, ref, "published", key))
				}
			}
			if ref.Has("computed", "exact_p_two") {
				testhelp.Near(t, "exact p", r.P, ref.Number(t, "computed", "exact_p_two"), 1e-12)
			}
		})
	}
}

// slowKendall computes S over all pairs and p over all orders of y, by definition.
func slowKendall(x, y []float64) (s int, p float64) {
	count := func(order []int) int {
		s := 0
		for i := range x {
			for j := range i {
				s += num.Compare(x[i], x[j]) * num.Compare(y[order[i]], y[order[j]])
			}
		}
		return s
	}
	s = count(num.AllRows(len(x)))
	extreme, total := 0, 0
	permutations(len(x), func(order []int) {
		total++
		if v := count(order); max(v, -v) >= max(s, -s) {
			extreme++
		}
	})
	return s, float64(extreme) / float64(total)
}

func TestKendallAgainstDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		n := 2 + rng.IntN(6)
		x, y := testhelp.Coarse(rng, n, 12), testhelp.Coarse(rng, n, 4)
		if rng.IntN(2) == 0 { // distinct times
			for i, at := range rng.Perm(n) {
				x[i] = float64(at)
			}
		}
		s, p := slowKendall(x, y)
		r, err := kendall(x, y)
		if err != nil {
			t.Fatal(err)
		}
		if r.S != s {
			t.Fatalf("x %v y %v: S %d, want %d", x, y, r.S, s)
		}
		if !r.Exact || math.Abs(r.P-p) > 1e-12 {
			t.Fatalf("x %v y %v: p %v, want %v", x, y, r.P, p)
		}
	}
	for range 20 { // long series: S only
		n := 50 + rng.IntN(300)
		x, y := testhelp.Coarse(rng, n, 40), testhelp.Coarse(rng, n, 25)
		s := 0
		for i := range x {
			for j := range i {
				s += num.Compare(x[i], x[j]) * num.Compare(y[i], y[j])
			}
		}
		r, err := kendall(x, y)
		if err != nil || r.S != s {
			t.Fatalf("n %d: S %d, want %d (%v)", n, r.S, s, err)
		}
	}
}

// The variance formula with ties gives the variance of S over all orders of y.
func TestKendallVarianceIsThatOfAllOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for range 60 {
		n := 2 + rng.IntN(5)
		x, y := testhelp.Coarse(rng, n, 5), testhelp.Coarse(rng, n, 3)
		var sum, squares, total float64
		permutations(n, func(order []int) {
			s := 0
			for i := range n {
				for j := range i {
					s += num.Compare(x[i], x[j]) * num.Compare(y[order[i]], y[order[j]])
				}
			}
			sum, squares, total = sum+float64(s), squares+float64(s*s), total+1
		})
		r, err := kendall(x, y)
		if err != nil {
			t.Fatal(err)
		}
		if want := squares/total - sum*sum/total/total; math.Abs(r.Var-want) > 1e-9 {
			t.Fatalf("x %v y %v: Var %v, want %v", x, y, r.Var, want)
		}
	}
}

func TestKendallSymmetries(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 50 {
		n := 5 + rng.IntN(80)
		x, y := testhelp.Coarse(rng, n, 30), testhelp.Coarse(rng, n, 9)
		x0, y0 := slices.Clone(x), slices.Clone(y)
		r, err := kendall(x, y)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(x, x0) || !slices.Equal(y, y0) {
			t.Fatal("input modified")
		}
		moved, turned := make([]float64, n), make([]float64, n)
		for i := range y {
			moved[i], turned[i] = math.Exp(y[i]), -y[i]
		}
		if m, _ := kendall(x, moved); m != r && !(math.IsNaN(m.TauB) && math.IsNaN(r.TauB)) {
			t.Fatalf("a rising transformation changed %+v to %+v", r, m)
		}
		if m, _ := kendall(x, turned); m.S != -r.S || math.Abs(m.P-r.P) > 1e-12 {
			t.Fatalf("turned: %+v, was %+v", m, r)
		}
		if m, _ := kendall(y, x); m.S != r.S || math.Abs(m.Var-r.Var) > 1e-9 {
			t.Fatalf("x and y exchanged: %+v, was %+v", m, r)
		}
		px, py := make([]float64, n), make([]float64, n)
		for i, at := range rng.Perm(n) {
			px[i], py[i] = x[at], y[at]
		}
		if m, _ := kendall(px, py); m != r && !math.IsNaN(r.TauB) {
			t.Fatalf("order of rows changed %+v to %+v", r, m)
		}
	}
}

func TestKendallRefuses(t *testing.T) {
	if _, err := kendall([]float64{1}, []float64{1}); err == nil {
		t.Error("one pair was accepted")
	}
	if _, err := kendall([]float64{1, 2}, []float64{1}); err == nil {
		t.Error("lengths that differ were accepted")
	}
	if _, err := kendall([]float64{1, math.NaN()}, []float64{1, 2}); err == nil {
		t.Error("NaN was accepted")
	}
	r, err := kendall([]float64{1, 2, 3}, []float64{4, 4, 4})
	if err != nil || r.P != 1 || r.Var != 0 || r.Z != 0 || !math.IsNaN(r.TauB) {
		t.Errorf("constant values: %+v, %v", r, err)
	}
}

func BenchmarkKendall(b *testing.B) {
	rng := rand.New(rand.NewPCG(4, 1))
	n := 100_000
	x, y := make([]float64, n), testhelp.Coarse(rng, n, 60)
	for i := range x {
		x[i] = float64(i / 3)
	}
	for b.Loop() {
		if _, err := kendall(x, y); err != nil {
			b.Fatal(err)
		}
	}
}
