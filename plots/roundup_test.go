package plots

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// ranking returns an invented table of n products, each of which may hold up to wide
// places more or less than its own.
func ranking(id, measure string, n, wide int) roundup.Table {
	rng := rand.New(rand.NewPCG(6, uint64(n)))
	t := roundup.Table{ID: id, Measure: measure, N: n, Openings: n, Noise: roundup.Noise{SD: 0.01, DF: 60, Pairs: 90, Source: "openings"}}
	t.Ratio = measure == ""
	value := 0.56
	for i := range n {
		value -= 0.004 + 0.01*rng.Float64()
		v := value
		if t.Ratio {
			v += 0.8
		}
		p := roundup.Place{Maker: makers()[i%8], Part: part(rng), N: 1, Lines: []int{i + 2}, Value: v, Low: v - 0.01, High: v + 0.01,
			Rank: i + 1, RankLow: max(1, i+1-wide), RankHigh: min(n, i+1+wide)}
		p.Shared = p.RankLow < p.RankHigh
		t.Places = append(t.Places, p)
	}
	return t
}

func pooledMakers() roundup.MakerTable {
	t := roundup.MakerTable{ID: "can-gauge", Measure: "can_gauge", Against: "can_surface", Products: 40, Fitted: 180}
	for i, m := range makers() {
		own := 0.05 - 0.013*float64(i)
		r := roundup.MakerRow{Maker: m, Products: 1 + i, Openings: 3 + i, Own: own, Pooled: own * 0.4,
			Low: own*0.4 - 0.015, High: own*0.4 + 0.015, Weight: 0.3 + 0.05*float64(i)}
		switch {
		case r.Low > 0:
			r.Side = 1
		case r.High < 0:
			r.Side = -1
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

func yearShifts() []roundup.Shift {
	var out []roundup.Shift
	for i, m := range []string{"price", "price_per_area", "can_gauge"} {
		for k, g := range []string{roundup.OpenedAgain, roundup.SameProducts, roundup.AllSizes, roundup.Small, roundup.Middle, roundup.Large} {
			s := roundup.Shift{Measure: m, Group: g, Relative: i < 2, PerYear: k == 0, Before: 20, Now: 22, MedianBefore: 0.5, MedianNow: 0.5,
				Shift: 0.04 - 0.03*float64(i)}
			s.Low, s.High = s.Shift-0.02*float64(1+k), s.Shift+0.02*float64(1+k)
			s.Clear = s.Low > 0 || s.High < 0
			s.TooFew = k == 4
			out = append(out, s)
		}
	}
	return out
}

func partChanges(n int) roundup.Reopened {
	r := roundup.Reopened{Products: 30, Comparisons: 240, Chance: 12}
	rng := rand.New(rand.NewPCG(3, 3))
	for i := range n {
		c := roundup.Change{Maker: makers()[i%8], Part: part(rng), Measure: []string{"can_mass", "can_gauge", "pleats"}[i%3],
			Relative: i%3 == 0, Since: 2021 + i%4, Before: 0.5, Now: 0.47, Clear: i < 2, Difference: -0.03, Low: -0.045, High: -0.012}
		r.Changes = append(r.Changes, c)
	}
	return r
}

func must(t *testing.T, c *Chart, err error) *Chart {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// roundupCharts returns charts of a roundup with few, many and unusual rows.
func roundupCharts(t *testing.T) map[string]*Chart {
	t.Helper()
	s := harbourSource()
	charts := map[string]*Chart{}
	add := func(name string, c *Chart, err error) { charts[name] = must(t, c, err) }
	for _, n := range []int{1, 3, 16, 400} {
		c, err := Ranking(ranking(roundup.CanGauge, "can_gauge", n, 2), 2026, s)
		add(fmt.Sprintf("ranking_%d", n), c, err)
	}
	ratio := ranking(roundup.MassForSize, "", 14, 1)
	ratio.Log, ratio.Fitted = true, 190
	ratio.Places[3].Maker = "A maker of a name that is far too long to be written beside a dot"
	c, err := Ranking(ratio, 2026, s)
	add("ranking_ratio", c, err)
	unsure := ranking(roundup.MediaArea, "media_area", 5, 9)
	unsure.Noise = roundup.Noise{SD: math.NaN()}
	for i := range unsure.Places {
		unsure.Places[i].Low, unsure.Places[i].High = math.NaN(), math.NaN()
	}
	c, err = Ranking(unsure, 2026, s)
	add("ranking_unsure", c, err)
	c, err = MakersPooled(pooledMakers(), 2026, s)
	add("makers_pooled", c, err)
	c, err = Shifts(yearShifts(), 2026, 2025, s)
	add("year_shifts", c, err)
	for _, n := range []int{1, 7, 60} {
		c, err = PartChanges(partChanges(n), 2026, s)
		add(fmt.Sprintf("part_changes_%d", n), c, err)
	}
	return charts
}

func TestRoundupLayouts(t *testing.T) {
	for name, c := range roundupCharts(t) {
		t.Run(name, func(t *testing.T) {
			for _, size := range screenSizes() {
				checkLayout(t, c, size)
			}
		})
	}
}

func TestRoundupTitles(t *testing.T) {
	charts := roundupCharts(t)
	price := ranking(roundup.PriceForContents, "", 9, 1)
	for i, grade := range map[int]trend.Grade{0: trend.Clear, 8: trend.Probable, 1: trend.Hint} {
		price.Places[i].Verdict.Grade = grade
	}
	price.Places[8].Value = 0.5
	c, err := Ranking(price, 2026, harbourSource())
	charts["price"] = must(t, c, err)
	for name, want := range map[string]string{
		"ranking_16":     "One of three filters has the thickest can, one of three filters has the thinnest",
		"ranking_unsure": "How sure these places of 2026 are cannot be said yet",
		"makers_pooled":  "Two makers stand apart for their size: Skerrow thicker and Wexcombe thinner",
		"year_shifts":    "Price rose 4.0\u00a0% a year; nothing else moved for certain",
		"part_changes_1": "One clear change in parts opened again in 2026: ",
		"price":          "Skerrow FH-353 costs more than its contents usually do, Skerrow UD-245 less",
	} {
		if got := charts[name].Title; !strings.Contains(got, want) {
			t.Errorf("%s: title %q, want %q", name, got, want)
		}
	}
	none := partChanges(5)
	for i := range none.Changes {
		none.Changes[i].Clear = false
	}
	c, err = PartChanges(none, 2026, harbourSource())
	if got := must(t, c, err).Title; got != "No part opened again in 2026 differs clearly from its last opening" {
		t.Errorf("nothing clear: title %q", got)
	}
}

func TestRoundupChartsWithNothingToDraw(t *testing.T) {
	_, err1 := Ranking(roundup.Table{ID: roundup.CanGauge, TooFew: true}, 2026, Source{})
	_, err2 := MakersPooled(roundup.MakerTable{TooFew: true}, 2026, Source{})
	_, err3 := Shifts([]roundup.Shift{{TooFew: true}}, 2026, 2025, Source{})
	_, err4 := PartChanges(roundup.Reopened{}, 2026, Source{})
	for i, err := range []error{err1, err2, err3, err4} {
		if !errors.Is(err, ErrNothingToDraw) {
			t.Errorf("chart %d: error %v, want ErrNothingToDraw", i, err)
		}
	}
}

// Names from the log must be text in the picture, never markup.
func TestRoundupHostileNames(t *testing.T) {
	tab := ranking(roundup.CanGauge, "can_gauge", 4, 0)
	tab.Places[0].Maker = `</text><script>alert(1)</script>`
	tab.Places[1].Part = "\u202egnp.exe\x1b[31m"
	c, err := Ranking(tab, 2026, harbourSource())
	b, err := Render(must(t, c, err), Options{Format: SVG})
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"<script", "\u202e", "\x1b"} {
		if strings.Contains(string(b), bad) {
			t.Errorf("the picture holds %q", bad)
		}
	}
}

func TestRoundupGoldens(t *testing.T) {
	charts := roundupCharts(t)
	for chart, file := range map[string]string{"ranking_16": "ranking", "makers_pooled": "makers_pooled",
		"year_shifts": "year_shifts", "part_changes_7": "part_changes"} {
		for _, o := range []Options{{Size: goldenSize(), Format: SVG}, {Size: Size{Width: 360, Height: 640}, Theme: Dark, Format: SVG}} {
			path := filepath.Join("..", "testdata", "plots", file+".svg")
			if o.Theme == Dark {
				path = filepath.Join("..", "testdata", "plots", file+"_upright_dark.svg")
			}
			got, err := Render(charts[chart], o)
			if err != nil {
				t.Fatal(err)
			}
			t.Run(filepath.Base(path), func(t *testing.T) { compareGolden(t, path, got) })
		}
	}
}

// A range that continues beyond the frame, and no other, ends in a break mark.
func TestBarsBeyondTheFrameAreBroken(t *testing.T) {
	frame := Light.colours().Frame
	stroke := fmt.Sprintf(`stroke="#%02x%02x%02x"`, frame.R, frame.G, frame.B)
	strokes := func(low, high float64) int {
		var shifts []roundup.Shift
		for i := range 6 {
			shifts = append(shifts, roundup.Shift{Measure: "price", Group: roundup.OpenedAgain, Relative: true, Shift: 0.01 * float64(i),
				Low: 0.01*float64(i) - 0.01, High: 0.01*float64(i) + 0.01, Before: 5, Now: 5})
		}
		shifts[2].Low, shifts[2].High = low, high
		c, err := Shifts(shifts, 2026, 2025, harbourSource())
		out, err2 := Render(must(t, c, err), Options{Format: SVG})
		if err2 != nil {
			t.Fatal(err2)
		}
		return bytes.Count(out, []byte(stroke))
	}
	within, one, both := strokes(0, 0.04), strokes(-3, 0.04), strokes(-3, 3)
	if one != within+2 || both != within+4 {
		t.Errorf("%d strokes within the frame, %d beyond it on one side, %d on both", within, one, both)
	}
}

// A legend must explain the marks that occur and no others.
func TestLegendsNameWhatIsThere(t *testing.T) {
	c, err := Shifts([]roundup.Shift{{Measure: "price", Group: roundup.OpenedAgain, Relative: true, Shift: 0.03, Low: 0.02, High: 0.04, Clear: true, Before: 5, Now: 5}},
		2026, 2025, harbourSource())
	var words []string
	for _, item := range must(t, c, err).legend {
		words = append(words, item.Text)
	}
	if got := strings.Join(words, ", "); got != "rose" {
		t.Errorf("the legend of one rise: %s", got)
	}
}
