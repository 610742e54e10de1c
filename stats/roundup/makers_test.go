package roundup

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pleatstat/dataset"
)

// makersLog is a log of eight makers whose parts all come from one distribution,
// except for the first maker's cans.
func makersLog(t *testing.T, rng *rand.Rand, parts, openings int, thinner float64) *bench {
	t.Helper()
	type part struct{ od, height, gauge, area, level float64 }
	all := make([]part, 8*parts)
	for k := range all {
		all[k] = part{76 + 3*rng.NormFloat64(), 80 + 6*rng.NormFloat64(), 0.47 + 0.05*rng.NormFloat64(), 560 + 80*rng.NormFloat64(), 0.13 * rng.NormFloat64()}
		if k < parts {
			all[k].gauge -= thinner
		}
	}
	var b strings.Builder
	b.WriteString("opened,maker,part,price,can_od_mm,can_height_mm,can_gauge_mm,media_area_cm2\n")
	for i := range openings {
		at := i % len(all)
		if i >= 2*len(all) {
			at = rng.IntN(len(all))
		}
		p, year := all[at], 2019+rng.IntN(6)
		price := 8.2 * math.Pow(p.area/560, 0.88) * math.Exp(p.level+0.04*float64(year-2019)+0.02*rng.NormFloat64())
		fmt.Fprintf(&b, "%d-%02d-15,M%d,P%d,%.2f,%.1f,%.1f,%.3f,%.0f\n", year, 1+rng.IntN(12), at/parts, at, price, p.od+0.1*rng.NormFloat64(), p.height+0.1*rng.NormFloat64(),
			p.gauge+0.006*rng.NormFloat64(), p.area)
	}
	log, err := dataset.Read(strings.NewReader(b.String()), "makers.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := newBench(log, nil)
	out.year, out.before = 2024, 2023
	return out
}

// Where no maker differs, one is reported as off a line in at most one log of
// twenty (plus two simulation errors), and a maker whose cans are far thinner is
// found.
func TestMakersOffALine(t *testing.T) {
	for _, c := range []struct {
		logs, parts, openings int
		thinner, least        float64 // least is the share of logs in which the thinner maker must be found
	}{{100, 2, 60, 0, 0}, {60, 4, 150, 0, 0}, {20, 4, 150, 0.2, 0.9}} {
		logs := c.logs
		if testing.Short() {
			logs /= 4
		}
		rng := rand.New(rand.NewPCG(17, uint64(c.parts)))
		wrong, found := 0, 0
		for range logs {
			innocent := false
			for _, table := range makersLog(t, rng, c.parts, c.openings, c.thinner).makerTables() {
				for _, row := range table.Rows {
					switch {
					case row.Side == 0:
					case c.thinner > 0 && row.Maker == "M0":
						found++
					default:
						innocent = true
					}
				}
			}
			if innocent {
				wrong++
			}
		}
		t.Logf("%+v: innocent makers in %d of %d logs, the thinner found in %d", c, wrong, logs, found)
		if bar := 0.05 + 2*math.Sqrt(0.05*0.95/float64(logs)); float64(wrong) > bar*float64(logs) {
			t.Errorf("%+v: innocent makers told in %d of %d logs, want at most %.3f", c, wrong, logs, bar)
		}
		if float64(found) < c.least*float64(logs) {
			t.Errorf("%+v: the thinner maker is found in %d of %d logs", c, found, logs)
		}
	}
}
