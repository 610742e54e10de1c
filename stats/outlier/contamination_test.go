package outlier

import (
	"math"
	"math/rand/v2"
	"testing"
)

// shifted are n residuals of scale 1: normal, or Student's t with df degrees of
// freedom, a share of them three to six scales up.
func shifted(rng *rand.Rand, n int, df, share float64) (r []float64, clean []bool) {
	for range n {
		v := rng.NormFloat64()
		if !math.IsInf(df, 1) {
			square := 0.0
			for range int(df) {
				z := rng.NormFloat64()
				square += z * z
			}
			v /= math.Sqrt(square / df)
		}
		isClean := rng.Float64() >= share
		if !isClean {
			v += 3 + 3*rng.Float64()
		}
		r, clean = append(r, v), append(clean, isClean)
	}
	return r, clean
}

// Scale, chances and quantiles against what was planted; quantiles of the normal
// and of Student's t with 5 degrees of freedom from published tables.
func TestContaminationFindsWhatIsPlanted(t *testing.T) {
	for name, c := range map[string]struct {
		df, share float64
		q80, q95  float64
		within80  float64
		within95  float64
		mostWrong float64 // share of residuals whose chance is on the wrong side
	}{
		"normal":                   {df: math.Inf(1), q80: 1.2816, q95: 1.9600, within80: 0.03, within95: 0.06, mostWrong: 0.01},
		"normal, a tenth shifted":  {df: math.Inf(1), share: 0.1, q80: 1.2816, q95: 1.9600, within80: 0.05, within95: 0.10, mostWrong: 0.03},
		"t(5)":                     {df: 5, q80: 1.4759, q95: 2.5706, within80: 0.05, within95: 0.15, mostWrong: 0.03},
		"normal, a fifth shifted":  {df: math.Inf(1), share: 0.2, q80: 1.2816, q95: 1.9600, within80: 0.05, within95: 0.10, mostWrong: 0.04},
		"t(5), a twentieth beyond": {df: 5, share: 0.05, q80: 1.4759, q95: 2.5706, within80: 0.10, within95: 0.30, mostWrong: 0.04},
	} {
		t.Run(name, func(t *testing.T) {
			r, clean := shifted(rand.New(rand.NewPCG(8, 8)), 2000, c.df, c.share)
			m := NewContamination(r, 1.5, 0.01)
			for range 25 {
				m = m.Follow(r, 0.01)
			}
			q80, q95 := m.Quantile(0.80), m.Quantile(0.95)
			if math.Abs(q80-c.q80) > c.within80 || math.Abs(q95-c.q95) > c.within95 {
				t.Errorf("80 and 95 %% within %.3f and %.3f, planted %.3f and %.3f", q80, q95, c.q80, c.q95)
			}
			wrong := 0
			for i, v := range r {
				if chance, weight := m.Clean(v); (chance >= 0.5) != clean[i] {
					wrong++
				} else if chance < 0 || chance > 1 || !(weight >= 0) {
					t.Fatalf("residual %g: chance %g, weight %g", v, chance, weight)
				}
			}
			if share := float64(wrong) / float64(len(r)); share > c.mostWrong {
				t.Errorf("%.3f of the residuals on the wrong side", share)
			}
			// Above and Quantile are one another's inverse.
			if got := m.Above(q80) + 1 - m.Above(-q80); math.Abs(got-0.2) > 1e-9 {
				t.Errorf("beyond the 80 %% range: %g", got)
			}
		})
	}
}

// Residuals in other units: scale and quantiles go with them, chances stay.
func TestContaminationInOtherUnits(t *testing.T) {
	r, _ := shifted(rand.New(rand.NewPCG(9, 9)), 60, math.Inf(1), 0.1)
	const unit = 0.013
	small := make([]float64, len(r))
	for i, v := range r {
		small[i] = unit * v
	}
	a, b := NewContamination(r, 1.2, 0.1).Follow(r, 0.1), NewContamination(small, 1.2*unit, 0.1*unit).Follow(small, 0.1*unit)
	if math.Abs(b.Scale()/a.Scale()/unit-1) > 1e-9 || math.Abs(b.Quantile(0.95)/a.Quantile(0.95)/unit-1) > 1e-9 {
		t.Errorf("scale %g and %g, quantile %g and %g", a.Scale(), b.Scale(), a.Quantile(0.95), b.Quantile(0.95))
	}
	for i := range r {
		ca, wa := a.Clean(r[i])
		cb, wb := b.Clean(small[i])
		if math.Abs(ca-cb) > 1e-9 || math.Abs(wa-wb) > 1e-9 {
			t.Errorf("residual %d: chance %g and %g, weight %g and %g", i, ca, cb, wa, wb)
		}
	}
}

// Follow leaves what it follows and the residuals as they are.
func TestContaminationFollowsWithoutChange(t *testing.T) {
	r, _ := shifted(rand.New(rand.NewPCG(10, 10)), 50, math.Inf(1), 0.1)
	given := append([]float64(nil), r...)
	m := NewContamination(r, 1, 0.1)
	before, _ := m.Clean(2.5)
	scale := m.Scale()
	m.Follow(r, 0.1).Follow(r, 0.1)
	if after, _ := m.Clean(2.5); after != before || m.Scale() != scale {
		t.Errorf("chance %g and then %g, scale %g and then %g", before, after, scale, m.Scale())
	}
	for i := range r {
		if r[i] != given[i] {
			t.Fatal("residuals were changed")
		}
	}
}
