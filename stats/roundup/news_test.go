package roundup

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pleatstat/stats/drift"
)

// A slope is news from the year it began in until the last reading that shows it,
// a step in the year of its date. Planted were Lowmere's thinner cans from
// January 2022 on (by their mass per area from December 2021) and Pellbrook's
// lost pleats of autumn 2023.
func TestNewsOfTheYear(t *testing.T) {
	for year, want := range map[int]string{2019: "", 2020: "", 2021: "Lowmere", 2022: "Lowmere", 2023: "Lowmere Pellbrook", 2024: "Lowmere", 2025: "Lowmere", 2026: "Lowmere"} {
		r := build(t, demoText(t), Options{Year: year, Resamples: fewestResamples})
		var makers []string
		for _, e := range r.Changed {
			if !e.Moved() || e.Statement.By == 0 {
				t.Errorf("%d: %s %s is no change", year, e.Maker, e.Measure)
			}
			if n := len(e.Points); n > 0 && e.Points[n-1].When.Year() > year {
				t.Errorf("%d: a reading of %v", year, e.Points[n-1].When)
			}
			if told := e.Statement; told.Example != "" && (told.Now.When.Year() > year || !told.Now.When.After(told.Then.When)) {
				t.Errorf("%d: the example is of %v and %v", year, told.Then.When, told.Now.When)
			}
			if !slices.Contains(makers, e.Maker) {
				makers = append(makers, e.Maker)
			}
		}
		if got := strings.Join(makers, " "); got != want {
			t.Errorf("%d: news of %q, want %q", year, got, want)
		}
	}
}

// The news of the demo log keeps the example from drift.
func TestNewsHasItsExample(t *testing.T) {
	r := build(t, demoText(t), Options{Resamples: fewestResamples})
	e := r.Changed[0]
	if e.Measure != "can_gauge" || e.Statement.Shape != drift.AsSlopeSince || e.Statement.Example == "" || !(e.Statement.Now.Value < e.Statement.Then.Value) {
		t.Errorf("%+v", e.Statement)
	}
}

// A year may still go on where it is the log's last and its last opening, known
// to the month, is before December.
func TestAYearThatGoesOn(t *testing.T) {
	for _, c := range []struct {
		dates string
		year  int
		want  string
	}{
		{"2025-05-10 2026-04-11 2026-02-01", 2026, "2026-04-11"},
		{"2025-05-10 2026-04-11", 2025, ""},
		{"2025-05-10 2026-12-02", 2026, ""},
		{"2025-05-10 2026-04 2026", 2026, ""},
	} {
		text := "opened,maker,part,pleats\n"
		for date := range strings.FieldsSeq(c.dates) {
			text += date + ",Skerrow,SK-1,51\n"
		}
		until := build(t, text, Options{Year: c.year, Resamples: fewestResamples}).Until
		if got := until.Format("2006-01-02"); got != c.want && !(until.IsZero() && c.want == "") {
			t.Errorf("%s: %d goes on after %s, want %q", c.dates, c.year, got, c.want)
		}
	}
}

func TestDefaultYear(t *testing.T) {
	of := func(openings map[int]int) *bench {
		b := &bench{}
		for year, n := range openings {
			for range n {
				b.rows = append(b.rows, opening{year: year})
			}
		}
		return b
	}
	for _, c := range []struct {
		openings map[int]int
		want     int
		says     string
	}{
		{map[int]int{2024: 20, 2025: 8}, 2025, ""},
		{map[int]int{2024: 20, 2025: 7}, 2024, "2025 has 7 so far"},
		{map[int]int{2023: 9, 2024: 3, 2025: 1}, 2023, "2025 has 1 so far"},
		{map[int]int{2024: 2, 2025: 1}, 2025, ""},
		{nil, 0, ""},
	} {
		b := of(c.openings)
		got, why := b.defaultYear(b.years())
		if got != c.want || (why == "") != (c.says == "") || !strings.Contains(why, c.says) {
			t.Errorf("%v: %d, %q", c.openings, got, why)
		}
	}
}

// namesLog has 20 parts of two makers in four years, one of them written
// differently in the last year.
func namesLog(write func(maker string, year int) string, media func(year int) string) string {
	var text strings.Builder
	text.WriteString("opened,maker,part,price,can_gauge_mm,media_type\n")
	rng := rand.New(rand.NewPCG(3, 3))
	for part := range 20 {
		maker := []string{"Thornquay", "Skerrow"}[part%2]
		for year := 2023; year <= 2026; year++ {
			fmt.Fprintf(&text, "%d-05-10,%s,P-%d,%.2f,%.2f,%s\n", year, write(maker, year), part, 8*math.Exp(0.02*rng.NormFloat64()), 0.4+0.01*rng.NormFloat64(), media(year))
		}
	}
	return text.String()
}

// A maker that is probably a misspelling is not among those to open next.
func TestNextNamesNoMisspeltMaker(t *testing.T) {
	r := build(t, namesLog(func(maker string, year int) string {
		if maker == "Skerrow" && year == 2026 {
			return "Skerow"
		}
		return maker
	}, func(int) string { return "cellulose" }), Options{Resamples: fewestResamples})
	if len(r.Next) == 0 {
		t.Fatal("nothing to open again")
	}
	for _, c := range r.Next {
		if c.Maker == "Skerow" {
			t.Errorf("%+v", c)
		}
	}
}

// A synonym for the same media is not a change.
func TestSynonymsAreNoChange(t *testing.T) {
	same := func(maker string, _ int) string { return maker }
	last := func(word string) func(int) string {
		return func(year int) string {
			if year == 2026 {
				return word
			}
			return "cellulose"
		}
	}
	for word, want := range map[string]int{"paper": 0, "Cellulosic": 0, "no idea": 0, "full synthetic": 20} {
		r := build(t, namesLog(same, last(word)), Options{Resamples: fewestResamples})
		if got := len(r.Reopened.Words); got != want {
			t.Errorf("%s: %d changes of the media, want %d", word, got, want)
		}
	}
	for pair, want := range map[[2]string]bool{{"U.S.A.", "usa"}: false, {"Poland", "poland"}: false, {"Poland", "Spain"}: true} {
		if differ("origin", pair[0], pair[1]) != want {
			t.Errorf("%v: want %v", pair, want)
		}
	}
}

// A price that rose with the market is not a record, even if no price was ever
// higher.
func TestARisingMarketMakesNoRecord(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	told := 0
	for range 40 {
		b := benchOf(t, rng, rng.NormFloat64, func(int) float64 { return 0 })
		records, none := b.records()
		if none != "" {
			t.Fatal(none)
		}
		for _, r := range records {
			if r.Measure == "price" {
				told++
			}
		}
	}
	if told > 4 { // the level of all records together is one log in twenty
		t.Errorf("%d records of price in 40 logs in which only the market rose", told)
	}
}
