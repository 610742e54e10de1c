package card

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

func read(t *testing.T, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func prepare(t *testing.T, log *dataset.Log) *Basis {
	t.Helper()
	b, err := Prepare(context.Background(), log, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func demo(t *testing.T) *Basis {
	t.Helper()
	log, err := dataset.ReadFile("../../testdata/demo/harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return prepare(t, log)
}

// Threads are compared as written by ISO 261 and ASME B1.1, gaskets to 1 mm
// (common practice, no source), cans with the room given.
func TestTheSameMount(t *testing.T) {
	b := prepare(t, read(t, `maker,part,price,media_area_cm2,thread,gasket_od_mm,can_od_mm,can_height_mm
Lowmere,itself,8,500,M20x1.5,65,75,80
Lowmere,blanks,8,600,M20 x 1.5,65.4,75,80
Skerrow,sign,8,400,M20×1.5,,75,80
Skerrow,tall,8,900,M20x1.5,65,75,120
Skerrow,wide,8,900,M20x1.5,65,95,80
Skerrow,sizeless,8,900,M20x1.5,65,,
Pellbrook,gasket,8,700,M20x1.5,71,75,80
Pellbrook,pitch,8,700,M20x1,65,75,80
Wexcombe,inch,8,700,3/4-16 UNF,65,75,80
Wexcombe,inch too,8,700,3/4-16,65,75,80
Wexcombe,priceless,,700,M20x1.5,65,75,80
Wexcombe,none,8,700,,65,75,80
`))
	names := func(m Mount) string {
		var out []string
		for _, s := range m.Parts {
			out = append(out, s.Part)
		}
		return strings.Join(out, ", ")
	}
	of := func(maker, part string, room Room) Mount {
		c, err := b.OfPart(price.Product{Maker: maker, Part: part}, room)
		if err != nil {
			t.Fatal(err)
		}
		return c.Mount
	}
	m := of("Lowmere", "itself", Room{Width: 80, Height: 100})
	if got := names(m); got != "blanks, itself, sign, priceless" {
		t.Errorf("the same mount in the room: %s", got)
	}
	if m.TooLarge != 2 || m.NoSize != 1 || m.Gaskets != 1 || m.NoGasket != 1 {
		t.Errorf("left out: %+v", m)
	}
	if m = of("Lowmere", "itself", Room{}); len(m.Parts) != 7 || m.Room != nil {
		t.Errorf("without a room: %s", names(m))
	}
	if got := names(of("Wexcombe", "inch", Room{})); got != "inch, inch too" {
		t.Errorf("3/4-16 UNF: %s", got)
	}
	if m = of("Wexcombe", "none", Room{}); m.Thread != "" || m.Parts != nil {
		t.Errorf("without a thread: %+v", m)
	}
}

func TestFind(t *testing.T) {
	log := read(t, `maker,part,pleats
Gristane,G-7100 Elite,50
Gristane,G-7200,50
Lowmere,L4135,50
Lowmere,L4015,50
Brackhollow,BH-1,50
Lo,Lowmere,50
`)
	for name, want := range map[string]price.Product{
		"L4135": {Maker: "Lowmere", Part: "L4135"}, "l 4015": {Maker: "Lowmere", Part: "L4015"},
		"gristane": {Maker: "Gristane"}, "GRIS": {Maker: "Gristane"}, "brack": {Maker: "Brackhollow", Part: "BH-1"},
		"G7100": {Maker: "Gristane", Part: "G-7100 Elite"}, "Lo": {Maker: "Lo"},
	} {
		if got, err := Find(log, name); err != nil || got != want {
			t.Errorf("%q is %+v, %v", name, got, err)
		}
	}
	var unknown *price.UnknownError
	if _, err := Find(log, "Grystane G-7100"); !errors.As(err, &unknown) || unknown.Nearest[0].Part != "G-7100 Elite" {
		t.Errorf("the nearest to a misspelt name: %v", err)
	}
	if _, err := Find(log, "nothing alike"); !errors.As(err, &unknown) {
		t.Errorf("a name that is not there: %v", err)
	}
}

// A card agrees with the analyses.
func TestACardAgreesWithTheAnalyses(t *testing.T) {
	b := demo(t)
	for _, v := range b.Model.Verdicts() {
		c, err := b.OfPart(price.Product{Maker: v.Maker, Part: v.Part}, Room{})
		if err != nil {
			t.Fatal(err)
		}
		if c.Verdict.Grade != v.Grade || c.Verdict.Price != v.Price && !math.IsNaN(v.Price) {
			t.Errorf("%s %s: %+v, not %+v", v.Maker, v.Part, c.Verdict, v)
		}
		for _, e := range c.Changes {
			if e.Maker != v.Maker || !e.Moved() {
				t.Errorf("%s %s is told the change of %s", v.Maker, v.Part, e.Maker)
			}
		}
		for _, p := range c.Places {
			if p.Rank < 1 || p.Rank > p.Of || p.Low > p.Rank || p.High < p.Rank {
				t.Errorf("%s %s: place %+v", v.Maker, v.Part, p)
			}
		}
		last := c.Openings[len(c.Openings)-1]
		if v.PriceDate != "" && v.PriceDate == last.Opened && math.Abs(last.Today/v.Price-1) > 1e-9 {
			t.Errorf("%s %s: the last opening costs %g, the verdict says %g", v.Maker, v.Part, last.Today, v.Price)
		}
	}
}

// The planted thinning of Lowmere's cans appears on its card and on those of its
// parts.
func TestTheDemosMaker(t *testing.T) {
	b := demo(t)
	m, err := b.OfMaker("Lowmere")
	if err != nil {
		t.Fatal(err)
	}
	openings := 0
	for _, y := range m.Years {
		openings += y.Openings
	}
	parts := 0
	for _, p := range m.Parts {
		parts += p.Openings
	}
	if openings+m.Undated != m.Openings || parts != m.Openings {
		t.Errorf("%d openings, by year %d and %d undated, by part %d", m.Openings, openings, m.Undated, parts)
	}
	if len(m.Changes) == 0 || m.Changes[0].Measure != "can_gauge" || m.Changes[0].Verdict != drift.Falling {
		t.Errorf("its changes: %+v", m.Changes)
	}
	for _, l := range m.Levels {
		if l.Needed != "" || l.Parts != len(m.Parts) || !(l.Low < l.Level && l.Level < l.High) {
			t.Errorf("level %+v", l)
		}
	}
	if _, err := b.OfMaker("Nobody"); err == nil {
		t.Error("a maker that is not there has a page")
	}
}

// A part without a price is not judged, and its usual price is given; its verdict
// is the same as everywhere else.
func TestAPartWithoutAPrice(t *testing.T) {
	var text strings.Builder
	text.WriteString("maker,part,price,media_area_cm2\n")
	for i := range 12 {
		text.WriteString("Skerrow,SK-" + string(rune('a'+i)) + "," + []string{"8", "9", "10"}[i%3] + "," + []string{"400", "480", "530"}[i%3] + "\n")
	}
	text.WriteString("Lowmere,L1,,450\n")
	b := prepare(t, read(t, text.String()))
	c, err := b.OfPart(price.Product{Maker: "Lowmere", Part: "L1"}, Room{})
	if err != nil {
		t.Fatal(err)
	}
	if c.Verdict.Grade != trend.CannotSay || !math.IsNaN(c.Verdict.Fair) {
		t.Errorf("verdict %+v", c.Verdict)
	}
	if fair := c.Judgement.Fair; !(fair > 8 && fair < 10) {
		t.Errorf("it would usually cost %g", fair)
	}
}
