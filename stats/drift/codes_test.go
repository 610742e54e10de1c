package drift_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// shelved is a log of filters that lay in a shop for up to four years.
// Orrinvale's cans lost 0.05 mm from those made on day 1500 on. Of ten openings
// `coded` have a date code, and origin gives the country on each.
func shelved(t *testing.T, coded int, origin func(maker string, made int) string) *dataset.Log {
	rng := rand.New(rand.NewPCG(21, 1))
	b := newLog("can_gauge_mm,price,date_code,origin")
	for _, name := range harbour {
		for i := range 40 {
			part := i % 5
			made := rng.IntN(6 * 365)
			v := level(part) + 0.005*rng.NormFloat64()
			if name == "Orrinvale" && made >= 1500 {
				v -= 0.05
			}
			code := ""
			if i%10 < coded {
				year, week := time.Date(2019, time.January, 5+made, 0, 0, 0, 0, time.UTC).ISOWeek()
				code = fmt.Sprintf("%d-W%02d", year, week)
			}
			b.add(made+7+rng.IntN(4*365), name, fmt.Sprint(name[:1], part), fmt.Sprintf("%.2f", v), "9.50", code, origin(name, made))
		}
	}
	return b.read(t)
}

func varnia(maker string, made int) string {
	if maker == "Orrinvale" && made >= 1500 {
		return "Varnia"
	}
	return "Ostermark"
}

// Where nearly all codes can be read as dates, changes of construction are dated
// by manufacture; prices and makers with few codes are dated by the opening.
func TestDatedByCode(t *testing.T) {
	changed := time.Date(2019, time.January, 5+1500, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		coded int
		by    string
		off   time.Duration // tolerance of the date
	}{{10, "date_code", 90 * 24 * time.Hour}, {9, "date_code", 120 * 24 * time.Hour}, {6, "opened", 0}, {0, "opened", 0}} {
		entries := analyse(t, shelved(t, c.coded, varnia), drift.Options{})
		e := entry(t, entries, "Orrinvale", "", "can_gauge")
		if e.DatedBy != c.by || e.DatedByCode() != (c.by == "date_code") {
			t.Errorf("%d in ten coded: dated by %s, want %s", c.coded, e.DatedBy, c.by)
		}
		if price := entry(t, entries, "Orrinvale", "", "price"); price.DatedBy != "opened" {
			t.Errorf("%d in ten coded: the price is dated by %s", c.coded, price.DatedBy)
		}
		if c.off == 0 {
			continue
		}
		if e.Verdict != drift.Falling || e.Statement.Shape != drift.AsStep || e.Statement.From.Sub(changed).Abs() > c.off || math.Abs(e.Statement.By+0.05) > 0.01 {
			t.Errorf("%d in ten coded: %s, told %+v; want a step of -0.05 from %v", c.coded, e.Verdict, e.Statement, changed)
		}
		if e.Statement.OriginNow != "Varnia" || e.Statement.OriginThen != "Ostermark" {
			t.Errorf("%d in ten coded: made in %q, before in %q", c.coded, e.Statement.OriginNow, e.Statement.OriginThen)
		}
		for _, other := range entries {
			if other.Maker != "Orrinvale" && named(other) {
				t.Errorf("%s %s: %s", other.Maker, other.Measure, other.Verdict)
			}
		}
	}
}

// A country that changes at another time, or not at all, is not reported with a
// change.
func TestOriginThatDoesNotChangeWithTheReadings(t *testing.T) {
	for name, origin := range map[string]func(string, int) string{
		"the same": func(string, int) string { return "Ostermark" },
		"none":     func(string, int) string { return "" },
		"years before": func(_ string, made int) string {
			return map[bool]string{true: "Varnia", false: "Ostermark"}[made >= 600]
		},
		"now and then": func(_ string, made int) string { return []string{"Varnia", "Ostermark"}[made%2] },
		"years after": func(_ string, made int) string {
			return map[bool]string{true: "Varnia", false: "Ostermark"}[made >= 2000]
		},
		"known for none": func(_ string, made int) string { return map[bool]string{true: "Varnia"}[made >= 1500] },
	} {
		e := entry(t, analyse(t, shelved(t, 10, origin), drift.Options{}), "Orrinvale", "", "can_gauge")
		if !e.Moved() || e.Statement.OriginNow != "" || e.Statement.OriginThen != "" {
			t.Errorf("%s: %s, made in %q, before in %q", name, e.Verdict, e.Statement.OriginNow, e.Statement.OriginThen)
		}
	}
}

// Where only some codes can be read, the change is dated by the openings, and the
// codes bound its date.
func TestCodesBesideOpenings(t *testing.T) {
	rng := rand.New(rand.NewPCG(22, 1))
	b := newLog("can_gauge_mm,date_code")
	for _, name := range harbour {
		for i := range 40 {
			part, day := i%5, rng.IntN(6*365)
			v, code := level(part)+0.005*rng.NormFloat64(), ""
			if name == "Orrinvale" && day >= 1200 {
				v -= 0.05
			}
			if i%2 == 0 {
				year, week := time.Date(2019, time.January, 5+day-20, 0, 0, 0, 0, time.UTC).ISOWeek()
				code = fmt.Sprintf("%d-W%02d", year, week)
			}
			b.add(day, name, fmt.Sprint(name[:1], part), fmt.Sprintf("%.2f", v), code)
		}
	}
	e := entry(t, analyse(t, b.read(t), drift.Options{}), "Orrinvale", "", "can_gauge")
	made := time.Date(2019, time.January, 5+1200-20, 0, 0, 0, 0, time.UTC)
	if !e.Moved() || e.DatedByCode() || !e.Statement.MadeBetween() || e.Statement.MadeAfter.After(made) || e.Statement.MadeBefore.Before(made) {
		t.Errorf("%s, dated by %s, made between %v and %v, want around %v", e.Verdict, e.DatedBy, e.Statement.MadeAfter, e.Statement.MadeBefore, made)
	}
}
