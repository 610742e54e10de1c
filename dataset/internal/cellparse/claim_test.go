package cellparse

import (
	"math"
	"strings"
	"testing"
)

// Notations of a claim. Beta ratios and efficiencies: ISO 16889 and ISO 4548-12
// define β as the particle count upstream over the count downstream, so that β
// = 2, 10, 75, 100, 200 and 1000 are 50, 90, 98.67, 99, 99.5 and 99.9 %.
func TestReadClaim(t *testing.T) {
	nan := math.NaN()
	for text, want := range map[string]Claim{
		"99":                {99, nan, false, false},
		"99 % @ 20 µm":      {99, 20, false, false},
		"99%@20um":          {99, 20, false, false},
		"98,7 % at 25 µm":   {98.7, 25, false, false},
		"99 % at 20 micron": {99, 20, false, false},
		"99% > 20 microns":  {},
		"> 99 %":            {99, nan, true, false},
		">99":               {99, nan, true, false},
		"≥99.5% @ 21 µm":    {99.5, 21, true, false},
		"99+":               {99, nan, true, false},
		"99+% at 25 µm":     {99, 25, true, false},
		"99%+ @ 25 microns": {99, 25, true, false},
		"99% min":           {99, nan, true, false},
		"100 %":             {100, nan, false, false},
		"β20=75":            {100 * (1 - 1/75.0), 20, false, true},
		"β20(c) = 200":      {99.5, 20, false, true},
		"beta 10 = 2":       {50, 10, false, true},
		"Beta_25≥100":       {99, 25, true, true},
		"β=1000 @ 30 µm":    {99.9, 30, false, true},
		"β[20]=10":          {90, 20, false, true},
		"101 %":             {},
		"β20=0.5":           {},
		"high":              {},
		"9O":                {},
		"99 bar":            {},
		"":                  {},
	} {
		got, _, ok := ParseClaim(text)
		if ok != (want != Claim{}) {
			t.Errorf("%q: read %v, %+v", text, ok, got)
			continue
		}
		near := func(a, b float64) bool {
			return a == b || math.Abs(a-b) <= 1e-12*math.Abs(b) || math.IsNaN(a) && math.IsNaN(b)
		}
		if ok && (!near(got.Efficiency, want.Efficiency) || !near(got.ParticleSize, want.ParticleSize) || got.AtLeast != want.AtLeast || got.Beta != want.Beta) {
			t.Errorf("%q: %+v, want %+v", text, got, want)
		}
	}
}

func FuzzReadClaim(f *testing.F) {
	for _, s := range []string{"99 % @ 20 µm", "β20=75", ">99", "99+", strings.Repeat("9", 50)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if k, _, ok := ParseClaim(s); ok && !(k.Efficiency >= 0 && k.Efficiency <= 100) {
			t.Errorf("%q: %+v", s, k)
		}
	})
}
