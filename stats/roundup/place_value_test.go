package roundup

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// A single opening of the year far off those before it does not count, and is
// reported; two of them are how the part is made now.
func TestOneOddOpeningHasNoPlace(t *testing.T) {
	gauges := func(last ...float64) string {
		rng := rand.New(rand.NewPCG(5, 5))
		var b strings.Builder
		b.WriteString("opened,maker,part,can_gauge_mm\n")
		for part := range 6 {
			for year := 2019; year <= 2025; year++ {
				gauge := 0.40 + 0.02*float64(part) + 0.004*rng.NormFloat64()
				if back := 2025 - year; part == 3 && back < len(last) {
					gauge = last[back]
				}
				fmt.Fprintf(&b, "%d-03-%02d,Skerrow,SK %d,%.3f\n", year, part+1, part, gauge)
			}
		}
		return b.String()
	}
	for _, c := range []struct {
		last    []float64 // latest first
		value   float64
		n, left int
	}{{nil, 0.46, 7, 0}, {[]float64{0.60}, 0.46, 6, 1}, {[]float64{0.60, 0.602}, 0.601, 2, 0}} {
		found := table(t, build(t, gauges(c.last...), Options{Year: 2025}), CanGauge)
		for _, p := range found.Places {
			if p.Part != "SK 3" {
				continue
			}
			if math.Abs(p.Value-c.value) > 0.004 || p.N != c.n || len(p.Off) != c.left || len(found.Warnings) != c.left {
				t.Errorf("last %v: %+v, %v", c.last, p, found.Warnings)
			}
		}
	}
}
