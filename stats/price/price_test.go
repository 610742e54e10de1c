package price

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

const demo = "../../testdata/demo/harbour.csv"

func readCSV(t testing.TB, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func fitted(t testing.TB, log *dataset.Log, o Options) *Model {
	t.Helper()
	m, err := Fit(log, o)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// records returns a market's log as cells; text does the reverse.
func records(t testing.TB, m *sim.Market) [][]string {
	t.Helper()
	r, err := csv.NewReader(bytes.NewReader(m.CSV)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func text(t testing.TB, r [][]string) string {
	t.Helper()
	var b strings.Builder
	if err := csv.NewWriter(&b).WriteAll(r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// byProduct indexes judgements by name.
func byProduct(all []Judgement) map[Product]Judgement {
	out := map[Product]Judgement{}
	for _, j := range all {
		out[Product{j.Maker, j.Part}] = j
	}
	return out
}

// nearly compares judgements to rounding, without the lines of the log.
var nearly = cmp.Options{cmpopts.IgnoreFields(Verdict{}, "Lines"), cmpopts.EquateApprox(1e-8, 1e-10), cmpopts.EquateNaNs(), cmpopts.EquateEmpty()}

var sample = sim.MarketOptions{Rows: 60, Blanks: 0.3, Overpriced: 0.1, Matter: true, Reopened: 0.25, Seed: 11}

// The demo log's generator planted (truth.json beside it) three products at 2.2
// to 2.6 times their price, one at 0.42, and a rise of 4 % a year.
func TestPlantedPricesOfTheDemo(t *testing.T) {
	log, err := dataset.ReadFile(demo, dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := fitted(t, log, Options{})
	all := m.All()
	judged := byProduct(all)
	for p, factor := range map[Product]float64{
		{"Thornquay", "T-385"}: 2.3, {"Veldmarsh", "VM2146"}: 2.6, {"Wexcombe", "W 792"}: 2.2, {"Brackhollow", "BH-124"}: 0.42,
	} {
		j := judged[p]
		want := Above
		if factor < 1 {
			want = Below
		}
		if j.Grade != trend.Clear && j.Grade != trend.Probable || j.Direction != want || math.Abs(math.Log(j.Ratio/factor)) > 0.2 {
			t.Errorf("%s: %s at %.2f times the fair price; planted %.2f", p, j.Grade, j.Ratio, factor)
		}
	}
	for rank, j := range all {
		if j.Rank != rank+1 || j.Of != len(all) {
			t.Errorf("%s %s: rank %d of %d at place %d", j.Maker, j.Part, j.Rank, j.Of, rank)
		}
	}
	rise, ok := m.Rise()
	if !ok || math.Abs(rise.PerYear-0.04) > 0.015 || !(rise.Low < 0.04 && 0.04 < rise.High) {
		t.Errorf("prices rise by %.3f a year (%.3f to %.3f); planted 0.04", rise.PerYear, rise.Low, rise.High)
	}
}

func TestFactorsMultiplyToTheFairPrice(t *testing.T) {
	log, err := sim.NewMarket(sample).Log()
	if err != nil {
		t.Fatal(err)
	}
	m := fitted(t, log, Options{})
	for _, j := range m.All() {
		product := j.Base
		for _, c := range j.Contributions {
			product *= c.Factor
			if c.Value == "not recorded" && c.Factor != 1 {
				t.Errorf("%s %s: %s is not recorded and has the factor %g", j.Maker, j.Part, c.Content, c.Factor)
			}
		}
		if product != j.Fair {
			t.Errorf("%s %s: base times factors %g, fair %g", j.Maker, j.Part, product, j.Fair)
		}
		// The same from the regression directly.
		k := m.place[m.find(j.Maker, j.Part)]
		if want := math.Exp(m.expected(m.crossValidated[k].Coef, m.subject(k))); math.Abs(j.Fair/want-1) > 1e-12 {
			t.Errorf("%s %s: fair %g, by the regression %g", j.Maker, j.Part, j.Fair, want)
		}
		ordered := []float64{j.Low, j.Low80, j.Fair, j.High80, j.High}
		if !slices.IsSorted(ordered) || !slices.IsSorted([]float64{j.Low, j.UsualLow, j.Fair, j.UsualHigh, j.High}) || !(j.Low > 0) {
			t.Errorf("%s %s: ranges %v", j.Maker, j.Part, ordered)
		}
	}
}

// A part is judged by a fit that has not seen its price: whatever it costs, its
// usual price stays the same up to rounding.
func TestOwnPriceHasNoSay(t *testing.T) {
	m := sim.NewMarket(sample)
	before := byProduct(fitted(t, readCSV(t, string(m.CSV)), Options{}).All())
	for _, i := range []int{0, 7, 21} {
		r := records(t, m)
		p := m.Products[i]
		for _, row := range r[1:] {
			if row[1] == p.Maker && row[2] == p.Part {
				v, _ := strconv.ParseFloat(row[3], 64)
				row[3] = fmt.Sprintf("%.2f", 2.5*v)
			}
		}
		name := Product{p.Maker, p.Part}
		after := byProduct(fitted(t, readCSV(t, text(t, r)), Options{}).All())[name]
		was := before[name]
		same := cmp.Options{cmpopts.EquateApprox(1e-12, 0)}
		if !cmp.Equal(after.Fair, was.Fair, same) || !cmp.Equal(after.High, was.High, same) {
			t.Errorf("%s: fair %v to %v, range to %v and %v, once the part costs 2.5 times as much", name, was.Fair, after.Fair, was.High, after.High)
		}
		if math.Abs(after.Ratio/was.Ratio-2.5) > 0.01 {
			t.Errorf("%s: premium %v and then %v", name, was.Ratio, after.Ratio)
		}
	}
}

func TestOrderOfRowsMakersUnitsAndCurrency(t *testing.T) {
	m := sim.NewMarket(sample)
	want := byProduct(fitted(t, readCSV(t, string(m.CSV)), Options{}).All())

	shuffled := records(t, m)
	rand.New(rand.NewPCG(5, 5)).Shuffle(len(shuffled)-1, func(a, b int) { shuffled[a+1], shuffled[b+1] = shuffled[b+1], shuffled[a+1] })
	if d := cmp.Diff(want, byProduct(fitted(t, readCSV(t, text(t, shuffled)), Options{}).All()), nearly); d != "" {
		t.Error("order of rows:", d)
	}

	renamed := records(t, m)
	other := map[string]string{}
	for i, row := range renamed[1:] {
		key := row[1] + "|" + row[2]
		if other[key] == "" {
			other[key] = fmt.Sprintf("Z%03d", 999-i)
		}
		row[1], row[2] = "One maker", other[key]
	}
	got := byProduct(fitted(t, readCSV(t, text(t, renamed)), Options{}).All())
	for p, w := range want {
		g := got[Product{"One maker", other[p.Maker+"|"+p.Part]}]
		g.Maker, g.Part = p.Maker, p.Part
		if d := cmp.Diff(w, g, nearly); d != "" {
			t.Error("names of makers:", d)
		}
	}

	dearer := records(t, m)
	dearer[0][4] = "media_area_mm2"
	for _, row := range dearer[1:] {
		price, _ := strconv.ParseFloat(row[3], 64)
		row[3] = fmt.Sprintf("%.1f", 100*price)
		area, _ := strconv.ParseFloat(row[4], 64)
		row[4] = fmt.Sprintf("%.0f", 100*area)
	}
	for p, g := range byProduct(fitted(t, readCSV(t, text(t, dearer)), Options{}).All()) {
		w := want[p]
		if g.Grade != w.Grade || g.Rank != w.Rank || math.Abs(g.Ratio/w.Ratio-1) > 1e-8 || math.Abs(g.High/w.High-100) > 1e-6 {
			t.Errorf("%s: %s at %.6f in cents and mm², %s at %.6f before", p, g.Grade, g.Ratio, w.Grade, w.Ratio)
		}
	}
}

// The same bytes on any number of cores.
func TestCores(t *testing.T) {
	log, err := sim.NewMarket(sample).Log()
	if err != nil {
		t.Fatal(err)
	}
	one := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(one)
	a := fitted(t, log, Options{}).All()
	runtime.GOMAXPROCS(4)
	b := fitted(t, log, Options{}).All()
	if d := cmp.Diff(a, b, cmpopts.EquateNaNs()); d != "" {
		t.Error(d)
	}
}

func TestTooFewProducts(t *testing.T) {
	m := sim.NewMarket(sim.MarketOptions{Rows: 7, Seed: 1})
	log, err := m.Log()
	if err != nil {
		t.Fatal(err)
	}
	model := fitted(t, log, Options{})
	all := model.All()
	if len(all) != 7 {
		t.Fatalf("%d judgements of 7 products", len(all))
	}
	j, err := model.Judge(all[3].Maker, all[3].Part)
	if err != nil {
		t.Fatal(err)
	}
	if j.Grade != trend.CannotSay || j.Needed != 8 || len(j.Warnings) != 1 || !strings.Contains(j.Warnings[0], "at least 8") || !math.IsNaN(j.Fair) || math.IsNaN(j.Price) {
		t.Errorf("seven products: %+v", j)
	}
	w, err := model.WhatIf(map[string]string{"price": "8.99", "media_area": "600"})
	if err != nil || w.Grade != trend.CannotSay || w.Needed != 8 {
		t.Errorf("what if, seven products: %+v, %v", w, err)
	}
}

func TestProductWithoutPriceOrArea(t *testing.T) {
	r := records(t, sim.NewMarket(sim.MarketOptions{Rows: 40, Seed: 2}))
	r[1][3], r[2][4] = "", ""
	r[3][3], r[3][4] = "", ""
	model := fitted(t, readCSV(t, text(t, r)), Options{})
	if n := len(model.All()); n != 37 {
		t.Errorf("%d judged, want 37", n)
	}
	for row, want := range map[int]string{1: "no price", 2: "no media area", 3: "neither price nor media area"} {
		j, err := model.Judge(r[row][1], r[row][2])
		if err != nil || j.Grade != trend.CannotSay || j.Needed != 0 || len(j.Warnings) != 1 || !strings.Contains(j.Warnings[0], want) {
			t.Errorf("row %d: %+v, %v", row, j, err)
		}
	}
}

func TestWhatIf(t *testing.T) {
	log, err := dataset.ReadFile(demo, dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := fitted(t, log, Options{})
	values := map[string]string{"price": "30", "media_area": "400 cm2", "media_type": "synthetic"}
	before := maps.Clone(values)
	j, err := m.WhatIf(values)
	if err != nil {
		t.Fatal(err)
	}
	if j.Direction != Above || !j.Off() || j.Price < 29.999 || j.Price > 30.001 || j.N != 0 || len(j.Comparables) != 5 || j.Maker != "" {
		t.Errorf("30 for 400 cm²: %+v", j)
	}
	if !maps.Equal(values, before) {
		t.Error("WhatIf changed the values given")
	}
	// 400 cm² are 62.0 in², the unit of this log (NIST SP 811: 1 in = 2.54 cm).
	inches, err := m.WhatIf(map[string]string{"price": "30", "media_area": "62.0001240002", "media_type": "synthetic"})
	if err != nil || math.Abs(inches.Fair/j.Fair-1) > 1e-6 {
		t.Errorf("in the log's unit: fair %v, in cm² %v, %v", inches.Fair, j.Fair, err)
	}
	blank, err := m.WhatIf(map[string]string{"media_area": "400 cm2"})
	if err != nil || !math.IsNaN(blank.Paid) || math.IsNaN(blank.Fair) || blank.High-blank.Low <= 0 {
		t.Errorf("without a price: %+v, %v", blank, err)
	}

	// The same part at its usual price, and at another. What is usual is the mean
	// of a scatter that may be skewed: nearly half would cost less.
	was, err := m.Judge("Thornquay", "T-385")
	if err != nil {
		t.Fatal(err)
	}
	again, err := m.WhatIf(map[string]string{"maker": "Thornquay", "part": "T-385", "price": fmt.Sprintf("%.6f", was.Fair)})
	if err != nil || math.Abs(again.Fair/was.Fair-1) > 1e-9 || again.Grade != trend.AsExpected || math.Abs(again.ShareBelow-0.5) > 0.05 {
		t.Errorf("at its fair price: %+v, %v", again, err)
	}
	thicker, err := m.WhatIf(map[string]string{"maker": "Thornquay", "part": "T-385", "media_area": "2000 cm2", "media_length": "", "price": "29"})
	if err != nil || !(thicker.Fair > 1.5*was.Fair) {
		t.Errorf("with much more media: fair %v, before %v, %v", thicker.Fair, was.Fair, err)
	}
	for name, bad := range map[string]map[string]string{
		"nothing":             nil,
		"a number as words":   {"price": "cheap", "media_area": "60"},
		"an unknown column":   {"prise": "9", "media_area": "60"},
		"an unknown category": {"price": "9", "media_area": "60", "media_type": "velvet?"},
	} {
		if j, err := m.WhatIf(bad); err == nil {
			t.Errorf("%s: no error, grade %s, warnings %v", name, j.Grade, j.Warnings)
		}
	}
}

func TestComparables(t *testing.T) {
	m := sim.NewMarket(sim.MarketOptions{Rows: 60, Matter: true, Seed: 4})
	r := records(t, m)
	twin := slices.Clone(r[1])
	twin[2], twin[3] = "TWIN", "9.99"
	model := fitted(t, readCSV(t, text(t, append(r, twin))), Options{})
	j, err := model.Judge(r[1][1], r[1][2])
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Comparables) != 5 || j.Comparables[0].Part != "TWIN" || j.Comparables[0].Distance > 1e-9 || !(j.Comparables[0].Price > 9) {
		t.Errorf("the twin is not the nearest: %+v", j.Comparables)
	}
	for k, c := range j.Comparables {
		if c.Part == j.Part || k > 0 && c.Distance < j.Comparables[k-1].Distance {
			t.Errorf("comparable %d: %+v", k, c)
		}
	}
}

// A warning is given for a part with more media than all others, to which the
// line is extrapolated, and for no other part.
func TestOutermostMediaAreaIsSaid(t *testing.T) {
	log, err := dataset.ReadFile(demo, dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := fitted(t, log, Options{})
	for part, want := range map[Product]bool{{"Lowmere", "L4119"}: true, {"Veldmarsh", "VM2146"}: false} {
		j, err := m.Judge(part.Maker, part.Part)
		if err != nil {
			t.Fatal(err)
		}
		if said := strings.Contains(strings.Join(j.Warnings, "\n"), "it has the most media area of the log"); said != want {
			t.Errorf("%v: said is %v, %q", part, said, j.Warnings)
		}
	}
}
