package dataset

import (
	"bytes"
	"math"
	"testing"
)

const claimLog = `maker,part,claimed_efficiency,claimed_particle_size_um,claim_test
Skerrow,SK 1,99 % @ 20 µm,,ISO 4548-12
Skerrow,SK 2,β20=75,,
Skerrow,SK 3,>99,25,
Skerrow,SK 4,99+,,single pass
Skerrow,SK 5,99.5,30,Multi-Pass
Skerrow,SK 6,very high,,
Skerrow,SK 7,superb,,
Skerrow,SK 8,100 %,,multi-pass
Skerrow,SK 9,98 % @ 10 µm,40,
`

func TestClaims(t *testing.T) {
	l := mustRead(t, claimLog, Options{})
	nan := math.NaN()
	for name, want := range map[string][]float64{
		"claimed_efficiency":    {99, 100 * (1 - 1/75.0), 99, 99, 99.5, nan, nan, 100, 98},
		"claimed_particle_size": {20, 20, 25, nan, 30, nan, nan, nan, 40},
		"beta_ratio":            {100, 75, nan, nan, 200, nan, nan, nan, nan}, // only if the multi-pass test is named
	} {
		got := l.Floats(name)
		for i := range want {
			if got == nil || !near(got[i], want[i], 1e-9) {
				t.Errorf("%s: %v, want %v", name, got, want)
				break
			}
		}
	}
	if k, ok := l.Claim(2); !ok || !k.AtLeast || k.ParticleSize != 25 {
		t.Errorf("third claim: %+v", k)
	}
	if _, ok := l.Claim(5); ok {
		t.Error("a word is a claim")
	}
	if c, ok := l.Cell(5, "claimed_efficiency"); !ok || c.Text != "very high" {
		t.Errorf("the text is gone: %+v", c)
	}
	for says, text := range map[string]string{
		"2 cells are no efficiency that can be read and stay text, the first in line 7": "very high",
		"one cell claims 100 %, the first in line 9":                                    "",
		"the claim itself names 10 µm":                                                  "40",
	} {
		if ps := messages(l, says); len(ps) != 1 || ps[0].Text != text || ps[0].Severity == Unusable {
			t.Errorf("%q: %+v", says, l.Problems())
		}
	}
	if len(l.Problems()) != 3 {
		t.Errorf("more than three problems: %+v", l.Problems())
	}
	var again bytes.Buffer
	if err := WriteNormalised(&again, l); err != nil {
		t.Fatal(err)
	}
	back := mustRead(t, again.String(), Options{})
	for _, name := range []string{"claimed_efficiency", "claimed_particle_size", "beta_ratio"} {
		a, b := l.Floats(name), back.Floats(name)
		for i := range a {
			if !near(a[i], b[i], 1e-12) {
				t.Errorf("%s written and read again: %v, %v", name, a, b)
				break
			}
		}
	}
	aside := l.SetAside([]CellRef{{Row: 0, Column: "claimed_efficiency"}})
	if v := aside.Floats("beta_ratio"); !math.IsNaN(v[0]) || v[1] != l.Floats("beta_ratio")[1] {
		t.Errorf("set aside: %v", v)
	}
}

// A column of percentages written as fractions is read as such, even beside
// claims with a percent sign.
func TestClaimsAsFractions(t *testing.T) {
	l := mustRead(t, "maker,part,claimed_efficiency\nSkerrow,SK 1,0.99\nSkerrow,SK 2,>0.95\nSkerrow,SK 3,98 % @ 20 µm\n", Options{})
	if v := l.Floats("claimed_efficiency"); !near(v[0], 99, 1e-9) || !near(v[1], 95, 1e-9) || !near(v[2], 98, 1e-9) {
		t.Errorf("%v", v)
	}
}
