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
}

// adjustedByDefinition computes q-values by brute force from their definition:
// the smallest level at which the procedure rejects p[i].
func adjustedByDefinition(p []float64) []float64 {
	var adjusted []float64
	for _, v := range p {
		q := 1.0
		for _, u := range p {
			rank := 0.0
			for _, w := range p {
				if w <= u {
					rank++
				}
			}
			if u >= v {
				q = math.Min(q, u*float64(len(p))/rank)
			}
		}
		adjusted = append(adjusted, q)
	}
	return adjusted
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
		testhelp.NearAll(t, "Benjamini-Hochberg", q, adjustedByDefinition(p), 1e-14)
		for i := range p {
			if q[i] < p[i] || q[i] > 1 {
				t.Fatalf("p %v, q %v", p[i], q[i])
			}
			for j := range p {
				if p[i] == p[j] && q[i] != q[j] || p[i] < p[j] && q[i] > q[j] {
					t.Fatalf("order of p %v, %v broken: q %v, %v", p[i], p[j], q[i], q[j])
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
		_, err := BenjaminiHochberg([]float64{0.2, bad, 0.001})
		var e *ProbabilityError
		if !errors.As(err, &e) || e.Index != 1 {
			t.Errorf("with %v: %v, want an error about index 1", bad, err)
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
		if q, err := BenjaminiHochberg(p); err == nil {
			testhelp.CheckChances(t, q)
		}
	})
}
