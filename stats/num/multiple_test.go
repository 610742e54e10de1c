package num

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pleatstat/stats/internal/testhelp"
)

// Benjamini and Hochberg (1995), section 4: the 15 p-values of thrombolytic
// treatments.
func TestMultiplicityPublishedExample(t *testing.T) {
	r := testhelp.Published(t, "bh1995")
	p := r.Column(t, "p")
	q, err := BenjaminiHochberg(p)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.NearAll(t, "Benjamini-Hochberg", q, r.Numbers(t, "computed", "BH_adjusted"), 1e-14)
	if got, want := testhelp.CountUpTo(q, 0.05), int(r.Number(t, "published", "BH_rejections_q0p05")); got != want {
		t.Errorf("Benjamini-Hochberg rejects %d at 0.05, published %d", got, want)
	}
	h, err := Holm(p)
	if err != nil {
		t.Fatal(err)
	}
	testhelp.NearAll(t, "Holm", h, r.Numbers(t, "computed", "holm_adjusted"), 1e-14)
	if got := testhelp.CountUpTo(h, 0.05); got != 3 {
		t.Errorf("Holm rejects %d at 0.05, want 3", got)
	}
}

// adjustedByDefinition are the twins of both procedures, straight from their
// definitions: the smallest level at which the procedure rejects p[i].
func adjustedByDefinition(p []float64) (bh, holm []float64) {
	n := float64(len(p))
	for _, v := range p {
		q, h := 1.0, 0.0
		for _, u := range p {
			rank, before := 0.0, 0.0
			for _, w := range p {
				if w <= u {
					rank++
				}
				if w < u {
					before++
				}
			}
			if u >= v {
				q = math.Min(q, u*n/rank)
			}
			if u <= v {
				h = math.Max(h, math.Min(1, u*(n-before)))
			}
		}
		bh, holm = append(bh, q), append(holm, h)
	}
	return bh, holm
}

func TestMultiplicityAgainstDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for trial := range 200 {
		p := make([]float64, 1+rng.IntN(30))
		for i := range p {
			p[i] = rng.Float64() * rng.Float64()
			if trial%2 == 0 {
				p[i] = math.Round(10*p[i]) / 10 // ties, zeros and ones
			}
		}
		before := slices.Clone(p)
		q, err := BenjaminiHochberg(p)
		if err != nil {
			t.Fatal(err)
		}
		h, err := Holm(p)
		if err != nil {
			t.Fatal(err)
		}
		wantQ, wantH := adjustedByDefinition(p)
		testhelp.NearAll(t, "Benjamini-Hochberg", q, wantQ, 1e-14)
		testhelp.NearAll(t, "Holm", h, wantH, 1e-14)
		for i := range p {
			if q[i] < p[i] || h[i] < q[i] || h[i] > 1 {
				t.Fatalf("p %v, q %v, Holm %v", p[i], q[i], h[i])
			}
			for j := range p {
				if p[i] == p[j] && (q[i] != q[j] || h[i] != h[j]) || p[i] < p[j] && (q[i] > q[j] || h[i] > h[j]) {
					t.Fatalf("order of p %v, %v broken: q %v, %v; Holm %v, %v", p[i], p[j], q[i], q[j], h[i], h[j])
				}
			}
		}
		if !slices.Equal(p, before) {
			t.Fatal("input was modified")
		}
	}
}

func TestMultiplicityRefusesWhatIsNoProbability(t *testing.T) {
	for _, bad := range []float64{math.NaN(), -0.01, 1.01, math.Inf(1)} {
		for name, adjust := range map[string]func([]float64) ([]float64, error){"Benjamini-Hochberg": BenjaminiHochberg, "Holm": Holm} {
			_, err := adjust([]float64{0.2, bad, 0.001})
			var e *ProbabilityError
			if !errors.As(err, &e) || e.Index != 1 {
				t.Errorf("%s with %v: %v, want an error about index 1", name, bad, err)
			}
		}
	}
	if q, err := BenjaminiHochberg(nil); err != nil || len(q) != 0 {
		t.Errorf("no p-values: %v, %v", q, err)
	}
}

func FuzzMultiplicity(f *testing.F) {
	testhelp.FuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte, _ uint8) {
		p := testhelp.FloatsOf(data)
		for i, v := range p {
			_, p[i] = math.Modf(math.Abs(v))
		}
		for _, adjust := range []func([]float64) ([]float64, error){BenjaminiHochberg, Holm} {
			if q, err := adjust(p); err == nil {
				testhelp.CheckChances(t, q)
			}
		}
	})
}
