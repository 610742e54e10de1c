package roundup

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/num"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Both sides of each rule; the numbers are repeated here on purpose.

// logOf is a bench in 2026, the year after 2025.
func logOf(t *testing.T, text string) *bench {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(log, nil)
	b.year, b.before = 2026, 2025
	return b
}

func level(int) float64 { return 0 }

// A 95 % range is 1.95996 standard deviations on either side (normal quantile,
// any table), and is read back as one.
func TestConfidenceRule(t *testing.T) {
	v := verdictVariance(price.Judgement{Verdict: price.Verdict{Ratio: 1, Low: math.Exp(-0.195996), High: math.Exp(0.195996), Grade: trend.Clear}})
	if math.Abs(v-0.01) > 1e-6 {
		t.Errorf("variance %g, want 0.01", v)
	}
}

// At most one in twenty of the makers named may lie on the line.
func TestClearMakerRule(t *testing.T) {
	for p, side := range map[float64]int{0.049: 1, 0.051: 0} {
		tables := []MakerTable{{Rows: []MakerRow{{Maker: "Skerrow", Own: 1, P: p}}}}
		if namedMakers(tables); tables[0].Rows[0].Side != side {
			t.Errorf("p %g: side %d", p, tables[0].Rows[0].Side)
		}
	}
}

// One in twenty of the changes called clear may be false; a change that is not
// clear is worth a second look up to p = 0.05, which one comparison in twenty
// reaches by chance. Beside one comparison that shows nothing, q is twice p.
func TestChangesRules(t *testing.T) {
	seen := map[string]bool{}
	for step := range 60 {
		text := "opened,maker,part,total_mass_g\n"
		for part := range 12 {
			for year := 2022; year < 2025; year++ {
				text += fmt.Sprintf("%d-03-05,Skerrow,SK %d,%.1f\n", year, part, 200+float64((part*part*year*7)%13)/4)
			}
		}
		text += fmt.Sprintf("2025-03-05,Lowmere,L 1,200\n2026-03-05,Lowmere,L 1,%.2f\n", 200+0.2*float64(step))
		for _, second := range []string{"", "2025-03-05,Lowmere,L 2,300\n2026-03-05,Lowmere,L 2,300\n"} {
			r, err := logOf(t, text+second).reopened()
			if err != nil {
				t.Fatal(err)
			}
			p, told, clear := pOfChange(t, logOf(t, text+second)), len(r.Changes) == 1, len(r.Changes) == 1 && r.Changes[0].Clear
			if math.Abs(r.Chance-0.05*float64(r.Comparisons)) > 1e-12 {
				t.Fatalf("%g second looks by chance of %d comparisons", r.Chance, r.Comparisons)
			}
			limit := 0.05 / float64(r.Comparisons)
			if told != (p <= 0.05) || clear != (p <= limit) {
				t.Errorf("p %.4f of %d comparisons: told %t, clear %t", p, r.Comparisons, told, clear)
			}
			switch at := fmt.Sprint(r.Comparisons); {
			case p > limit/2 && p <= limit:
				seen[at+" within"] = true
			case p > limit && p < 2*limit:
				seen[at+" beyond"] = true
			}
			if p > 0.05 && p < 0.1 {
				seen["no look"] = true
			}
		}
	}
	if len(seen) != 5 {
		t.Fatalf("the changes lie on these sides only: %v", seen)
	}
}

// pOfChange returns the p of the part that changed.
func pOfChange(t *testing.T, b *bench) float64 {
	t.Helper()
	for _, c := range b.changesOf("total_mass", true, b.tailDF()) {
		if c.Part == "L 1" {
			return c.P
		}
	}
	t.Fatal("the part is not compared")
	return 0
}

// The noise between openings of one part is estimated from 10 pairs on.
func TestPairsRule(t *testing.T) {
	for openings, source := range map[int]string{10: "", 11: "openings"} {
		text := "opened,maker,part,total_mass_g\n"
		for i := range openings {
			month := time.Date(2024, time.Month(1+i), 5, 0, 0, 0, 0, time.UTC)
			text += fmt.Sprintf("%s,Skerrow,SK 1,200.%d\n", month.Format(time.DateOnly), i*i%7)
		}
		b := logOf(t, text)
		if n := b.noiseOf(b.values("total_mass"), Noise{SD: math.NaN()}); n.Source != source {
			t.Errorf("%d pairs: noise by %q, want %q: a standard deviation of fewer is known too poorly", n.Pairs, n.Source, source)
		}
	}
}

// A line needs 12 openings.
func TestOpeningsOfALineRule(t *testing.T) {
	for n, few := range map[int]bool{11: true, 12: false} {
		text := "opened,maker,part,price,media_area_cm2\n"
		for i := range n {
			text += fmt.Sprintf("2026-03-%02d,Skerrow,SK %d,%.2f,%d\n", 1+i, i, 8+0.3*float64(i*i%7), 300+20*i)
		}
		b := logOf(t, text)
		_, err := b.lineOn(b.values("price"), false, b.values("media_area"))
		var e *num.TooFewError
		if errors.As(err, &e) != few {
			t.Errorf("%d openings: %v", n, err)
		}
	}
}

// A table of makers needs 4 makers, and 5 products more than makers to estimate
// the scatter within makers.
func TestMakersRules(t *testing.T) {
	for _, c := range []struct {
		makers, products int
		tooFew           bool
	}{{3, 12, true}, {4, 12, false}, {4, 8, true}, {4, 9, false}} {
		text := "opened,maker,part,can_gauge_mm,can_od_mm,can_height_mm\n"
		for i := range 24 {
			p := i % c.products
			text += fmt.Sprintf("2026-03-05,%s,P %d,0.4%d,%d,%d\n", harbour[p%c.makers], p, i*i%7, 65+2*(p*p%11), 70+p)
		}
		b := logOf(t, text)
		m := b.makerTable(MakerTable{ID: "can-gauge", Measure: "can_gauge", Against: "can_surface"}, b.values("can_gauge"), false)
		if m.TooFew != c.tooFew {
			t.Errorf("%d products of %d makers: too few %t (%s)", c.products, c.makers, m.TooFew, m.Needed)
		}
	}
}

var harbour = []string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook"}

// A record needs 10 earlier openings to exceed.
func TestEarlierOpeningsRule(t *testing.T) {
	for n, enough := range map[int]bool{9: false, 10: true} {
		text := "opened,maker,part,pleats\n2026-03-05,Lowmere,L 1,80\n"
		for i := range n {
			text += fmt.Sprintf("2025-%02d-05,Skerrow,SK %d,5%d\n", 1+i, i, i)
		}
		b := logOf(t, text)
		v := b.values("pleats")
		r, got, told := b.record(Record{Measure: "pleats", Highest: true}, v, v, Noise{SD: 0.5, DF: 20}, 0.95)
		if got != enough || told != enough {
			t.Errorf("%d earlier openings: enough %t, told %t", r.Earlier, got, told)
		}
	}
}

// A shift needs 6 products opened in both years, or 4 openings in each; the most
// extreme results, two of 64 orders and two of 70, are then rare enough for 95 %.
func TestShiftRules(t *testing.T) {
	text := func(again, before, now int) string {
		out := "opened,maker,part,can_gauge_mm\n"
		for i := range again {
			out += fmt.Sprintf("2025-03-05,Skerrow,SK %d,0.4%d\n2026-03-05,Skerrow,SK %d,0.4%d\n", i, i, i, (i+1+i*i%3)%10)
		}
		for i := range before {
			out += fmt.Sprintf("2025-04-05,Lowmere,L %d,0.4%d\n", i, i)
		}
		for i := range now {
			out += fmt.Sprintf("2026-04-05,Wexcombe,W %d,0.5%d\n", i, i)
		}
		return out
	}
	for n, tooFew := range map[int]bool{5: true, 6: false} {
		b := logOf(t, text(n, 0, 0))
		v := b.values("can_gauge")
		for name, s := range map[string]Shift{
			"opened again": b.againOf("can_gauge", false, v, v), "in both years": b.shiftOf("can_gauge", false, SameProducts, v, v, b.byProduct),
		} {
			if s.TooFew != tooFew || tooFew && s.Needed != 6 {
				t.Errorf("%d products %s: too few %t, %d would do", n, name, s.TooFew, s.Needed)
			}
		}
	}
	for _, c := range []struct {
		before, now int
		tooFew      bool
	}{{3, 9, true}, {4, 4, false}, {9, 3, true}} {
		b := logOf(t, text(0, c.before, c.now))
		v := b.values("can_gauge")
		if s := b.shiftOf("can_gauge", false, AllSizes, v, v, func(int) int { return 0 }); s.TooFew != c.tooFew || c.tooFew && s.Needed != 4 {
			t.Errorf("%d openings against %d: too few %t, %d would do", c.now, c.before, s.TooFew, s.Needed)
		}
	}
}

// The can defines the sizes where half of the products have its surface, else
// media area does.
func TestSizesRule(t *testing.T) {
	for measured, by := range map[int]string{4: "media_area", 5: "can_surface"} {
		text := "opened,maker,part,media_area_cm2,can_od_mm,can_height_mm\n"
		for i := range 10 {
			od := ""
			if i < measured {
				od = fmt.Sprint(60 + 4*i)
			}
			text += fmt.Sprintf("2026-03-05,Skerrow,SK %d,%d,%s,80\n", i, 300+40*i, od)
		}
		if z := logOf(t, text).sizeClasses(); z == nil || z.measure != by {
			t.Errorf("%d of 10 cans measured: sizes by %+v, want %s", measured, z, by)
		}
	}
}

// A ranking needs 3 products.
func TestRankedRule(t *testing.T) {
	for n, tooFew := range map[int]bool{2: true, 3: false} {
		var places []Place
		for i := range n {
			places = append(places, Place{Part: fmt.Sprint(i), Value: float64(i), N: 1})
		}
		if got := (Table{Noise: Noise{SD: math.NaN()}}).place(places, Options{Resamples: 200}, rand.New(rand.NewPCG(1, 1))); got.TooFew != tooFew {
			t.Errorf("%d products: too few %t", n, got.TooFew)
		}
	}
}

// An earlier opening is averaged with the later ones up to 3.5 standard
// deviations of the difference of two: 0.0495 mm where one has 0.01 mm.
func TestMaxDeviationRule(t *testing.T) {
	for before, n := range map[string]int{"0.4490": 2, "0.4500": 1} {
		b := logOf(t, "opened,maker,part,can_gauge_mm\n2025-03-05,Skerrow,SK 1,"+before+"\n2026-03-05,Skerrow,SK 1,0.4000\n")
		table := Table{Measure: "can_gauge", Noise: Noise{SD: 0.01, DF: 20, Source: "openings"}}
		var got Place
		if b.setValue(&got, b.products[0], table, b.values("can_gauge")); got.N != n {
			t.Errorf("%s mm before 0.4000: %d openings count", before, got.N)
		}
	}
}

// A measure is reported as measured too seldom where fewer than half of the
// year's openings have it.
func TestSeldomRule(t *testing.T) {
	for measured, told := range map[int]bool{4: true, 5: false} {
		text := "opened,maker,part,can_gauge_mm\n"
		for i := range 10 {
			gauge := ""
			if i < measured {
				gauge = "0.45"
			}
			text += fmt.Sprintf("2026-03-05,Skerrow,SK %d,%s\n", i, gauge)
		}
		got := false
		for _, g := range logOf(t, text).gaps(&Roundup{Opened: Opened{Openings: 10}}) {
			got = got || g.Measure == "can_gauge"
		}
		if got != told {
			t.Errorf("%d of 10 measured: told %t", measured, got)
		}
	}
}

// Five products are listed to open next, in the middle of the next year, with a
// prior standard deviation of 0.02 mm for yearly changes of gauge.
func TestNextRules(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	b := benchOf(t, rng, rng.NormFloat64, level)
	if next := b.next(); len(next) != 5 {
		t.Errorf("%d products named", len(next))
	}
	d := b.design()
	if d.At != 2027.5 {
		t.Errorf("openings to come at %g", d.At)
	}
	noise := b.noiseOf(b.values("can_gauge"), b.benchFloor("can_gauge", false))
	if spread := noise.SD / math.Sqrt(d.Prior); math.Abs(spread-0.02) > 1e-12 {
		t.Errorf("yearly changes of %g mm", spread)
	}
}

// A range needs at least 200 resamples.
func TestResamplesRule(t *testing.T) {
	log := logOf(t, "opened,maker,part,pleats\n2026-03-05,Skerrow,SK 1,60\n").log
	for n, refused := range map[int]bool{199: true, 200: false} {
		_, err := Build(context.Background(), log, Options{Resamples: n})
		var few *ResamplesError
		if errors.As(err, &few) != refused {
			t.Errorf("%d resamples: %v", n, err)
		}
	}
}

// A year is the default where it has 8 openings.
func TestOpeningsOfAYearRule(t *testing.T) {
	for n, year := range map[int]int{7: 2025, 8: 2026} {
		text := "opened,maker,part,pleats\n"
		for i := range 9 {
			text += fmt.Sprintf("2025-03-%02d,Skerrow,SK %d,60\n", 1+i, i)
		}
		for i := range n {
			text += fmt.Sprintf("2026-03-%02d,Skerrow,SK %d,60\n", 1+i, i)
		}
		if got, _ := logOf(t, text).defaultYear([]int{2025, 2026}); got != year {
			t.Errorf("%d openings in 2026: the year is %d", n, got)
		}
	}
}
