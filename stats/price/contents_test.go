package price

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// benchOf is a log of n parts: a can's mass follows from its gauge, the total
// mass from the can and the rest, and the price from the area and, where they
// matter, the gauge and the magnet.
func benchOf(n int, seed uint64, gaugePower, magnetPremium float64) string {
	rng := rand.New(rand.NewPCG(seed, 99))
	var b strings.Builder
	b.WriteString("maker,part,price,media_area_cm2,can_gauge_mm,can_mass_g,total_mass_g,magnet,claimed_efficiency_pct\n")
	for i := range n {
		size := rng.NormFloat64()
		area := 550 * math.Exp(0.3*size)
		gauge := 0.47 * math.Exp(0.13*rng.NormFloat64())
		can := 190 * gauge * math.Exp(0.2*size+0.02*rng.NormFloat64())
		total := can + 100*math.Exp(0.15*size+0.05*rng.NormFloat64())
		magnet, premium := "no", 0.0
		if i%9 == 4 {
			magnet, premium = "yes", magnetPremium
		}
		claim := 95 + 4.5*rng.Float64()
		price := 0.03 * math.Pow(area, 0.9) * math.Pow(gauge/0.47, gaugePower) * math.Exp(premium+0.13*rng.NormFloat64())
		fmt.Fprintf(&b, "Lowmere,L%d,%.2f,%.0f,%.2f,%.1f,%.1f,%s,%.1f\n", 4000+i, price, area, gauge, can, total, magnet, claim)
	}
	return b.String()
}

// usualAt returns what a part of medium size with these contents usually costs.
func usualAt(t *testing.T, m *Model, values map[string]string) float64 {
	t.Helper()
	all := map[string]string{"media_area": "550"}
	for k, v := range values {
		all[k] = v
	}
	j, err := m.WhatIf(all)
	if err != nil {
		t.Fatal(err)
	}
	return j.Fair
}

// A thinner can never explains a higher price: in logs in which the gauge does
// not matter, or matters as it should, 0.60 mm is not usually cheaper than 0.35
// mm, nor is a part with a magnet cheaper than one without. Where the other
// contents are missing, their imputed values move the price by up to a hundredth
// either way.
func TestMoreInsideNeverLowersTheUsualPrice(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates many logs")
	}
	for _, power := range []float64{0, 0.5} {
		raised := 0
		for seed := range uint64(8) {
			m := fitted(t, readCSV(t, benchOf(48, seed, power, 0)), Options{})
			full := func(key, value string) float64 {
				values := map[string]string{"can_gauge": "0.47", "can_mass": "90", "total_mass": "190", "magnet": "no"}
				values[key] = value
				return usualAt(t, m, values)
			}
			if thin, thick := full("can_gauge", "0.35"), full("can_gauge", "0.60"); thick < thin*(1-1e-4) {
				t.Errorf("power %g, seed %d: %.4f with 0.35 mm, %.4f with 0.60 mm, all else alike", power, seed, thin, thick)
			}
			if yes, no := full("magnet", "yes"), full("magnet", "no"); yes < no*(1-1e-4) {
				t.Errorf("power %g, seed %d: %.4f with a magnet, %.4f without, all else alike", power, seed, yes, no)
			}
			thin, thick := usualAt(t, m, map[string]string{"can_gauge": "0.35"}), usualAt(t, m, map[string]string{"can_gauge": "0.60"})
			if thick < thin*0.99 {
				t.Errorf("power %g, seed %d: %.2f with 0.35 mm, %.2f with 0.60 mm", power, seed, thin, thick)
			}
			if thick > 1.05*thin {
				raised++
			}
			if yes, no := usualAt(t, m, map[string]string{"magnet": "yes"}), usualAt(t, m, map[string]string{"magnet": "no"}); yes < no*0.99 {
				t.Errorf("power %g, seed %d: %.2f with a magnet, %.2f without", power, seed, yes, no)
			}
		}
		if power > 0 && raised < 6 {
			t.Errorf("a thicker can costs more in %d of 8 logs in which it does", raised)
		}
	}
}

// Unless the log clearly shows the opposite; then a warning says so.
func TestWhatTheLogShowsClearlyIsJudgedSoAndSaid(t *testing.T) {
	const says = "clearly goes with a lower price"
	m := fitted(t, readCSV(t, benchOf(120, 3, -1.2, 0)), Options{})
	if thin, thick := usualAt(t, m, map[string]string{"can_gauge": "0.35"}), usualAt(t, m, map[string]string{"can_gauge": "0.60"}); thick > 0.8*thin {
		t.Errorf("%.2f with 0.35 mm, %.2f with 0.60 mm, in a log that clearly shows the contrary", thin, thick)
	}
	if all := strings.Join(m.Warnings(), "\n"); !strings.Contains(all, "more can gauge "+says) {
		t.Errorf("warnings %q", all)
	}
	if all := strings.Join(fitted(t, readCSV(t, benchOf(120, 3, 0.5, 0)), Options{}).Warnings(), "\n"); strings.Contains(all, says) {
		t.Errorf("warnings %q of a log that shows nothing of the kind", all)
	}
}

// Contents do not overlap: of gauge and mass per area one is used, and of the
// mass the rest.
func TestContentsDoNotOverlap(t *testing.T) {
	for _, c := range []struct {
		recorded map[string]int
		want     string
	}{
		{map[string]int{canGauge: 40, canMassPerArea: 30, massWithoutCan: 35, totalMass: 48}, "[can_gauge mass_without_can]"},
		{map[string]int{canGauge: 30, canMassPerArea: 40, massWithoutCan: 35, totalMass: 48}, "[can_mass_per_area mass_without_can]"},
		{map[string]int{canGauge: 40, canMassPerArea: 40, massWithoutCan: 35, totalMass: 48}, "[can_gauge mass_without_can]"},
		{map[string]int{totalMass: 48}, "[can_gauge total_mass]"},
		{map[string]int{canGauge: leastValues, totalMass: 48}, "[can_gauge mass_without_can]"},
		{map[string]int{canGauge: leastValues - 1, totalMass: 48}, "[can_gauge total_mass]"},
	} {
		if got := fmt.Sprint(choose(c.recorded, false)); got != c.want {
			t.Errorf("%v: %s, want %s", c.recorded, got, c.want)
		}
	}
}

// A claim is used as a content only on request, and then reported.
func TestClaimsCountOnRequestOnly(t *testing.T) {
	log := readCSV(t, benchOf(48, 1, 0.5, 0.2))
	counts := func(o Options) (bool, string) {
		m := fitted(t, log, o)
		for _, c := range m.All()[0].Contributions {
			if c.Content == claimed {
				return true, strings.Join(m.Warnings(), "\n")
			}
		}
		return false, strings.Join(m.Warnings(), "\n")
	}
	if with, said := counts(Options{}); with || strings.Contains(said, "claims") {
		t.Errorf("claims count %t, said %q", with, said)
	}
	if with, said := counts(Options{WithClaims: true}); !with || !strings.Contains(said, "claims") {
		t.Errorf("asked for, claims count %t, said %q", with, said)
	}
}
