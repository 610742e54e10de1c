package drift

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

// Both sides of each rule; the numbers are repeated here on purpose.

func ofText(t *testing.T, text string) *dataset.Log {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "harbour.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func entryOf(t *testing.T, text, maker, part, measure string) (Entry, bool) {
	t.Helper()
	all, err := Analyse(ofText(t, text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(e Entry) bool { return e.Maker == maker && e.Part == part && e.Measure == measure })
	if i < 0 {
		return Entry{}, false
	}
	return all[i], true
}

func day(n int) string {
	return time.Date(2020, time.January, 6, 0, 0, 0, 0, time.UTC).AddDate(0, 0, n).Format(time.DateOnly)
}

// moving is a candidate that rises by 1 a year over 2 years, well beyond the
// bench's repeatability.
func moving(m *measure) *candidate {
	k := &candidate{m: m, Entry: blank("Skerrow", "", m), unit: 1, span: 2, se: 0.1, seDF: 1e6, level: 0.05, variance: 1, information: 100}
	k.PerYear, k.testSlope, k.N, k.P = 1, 1, 20, 0.001
	return k
}

// At most one in twenty of the makers named may have changed nothing.
func TestFalseRateRule(t *testing.T) {
	for q, want := range map[float64]Verdict{0.049: Rising, 0.05: Rising, 0.051: NoChange} {
		k := moving(&followed[0])
		k.Q = q
		if k.decide(); k.Verdict != want {
			t.Errorf("q %g: %s, want %s", q, k.Verdict, want)
		}
	}
}

// Nine tenths of a measure's level belong to the maker's own entry, so that many
// parts beside it hardly weaken it: it is named up to p = 0.045.
func TestShareOfTheMakerRule(t *testing.T) {
	for p, named := range map[float64]bool{0.0449: true, 0.0451: false} {
		own, a, b := moving(&followed[0]), moving(&followed[0]), moving(&followed[0])
		a.Part, b.Part = "S 1", "S 2"
		own.P, a.P, b.P = p, 1, 1
		if err := correct([]*candidate{own, a, b}); err != nil {
			t.Fatal(err)
		}
		if (own.Q <= 0.05) != named {
			t.Errorf("p %g: q %g", p, own.Q)
		}
	}
}

// The slope has nine tenths of the level of its entry, the step the rest.
func TestShareOfTheStepRule(t *testing.T) {
	k := moving(&followed[0])
	k.df, k.noise = 1000, &noise{} // found whatever else is: the step test is skipped
	k.SlopeP = k.P
	if err := k.joinStep(1, 1); err != nil || math.Abs(k.P-0.001/0.9) > 1e-12 {
		t.Errorf("p %g, %v; want a ninth more than 0.001", k.P, err)
	}
}

// A change found with 80 % power is 1.960 + 0.842 standard errors from zero
// (normal quantiles, any table).
func TestPowerRule(t *testing.T) {
	k := moving(&followed[0])
	k.Q = 1
	if k.decide(); math.Abs(k.Detectable-0.2802) > 1e-4 {
		t.Errorf("detectable %g with a standard error of 0.1", k.Detectable)
	}
}

// The verdict is steady where the change worth finding would have been detected:
// 0.01 mm of gauge, one pleat, 2 % of a mass, 5 % of a price beyond the market.
func TestWorthFindingRule(t *testing.T) {
	for name, reference := range map[string]float64{"can_gauge": 0.01, "pleats": 1, "can_mass": 0.02, "price": 0.05} {
		m := &followed[slices.Index(Measures(), name)]
		for factor, want := range map[float64]Verdict{0.99: Steady, 1.01: NoChange} {
			k := moving(m)
			k.Q, k.se = 1, factor*reference/2.8015852
			if k.decide(); k.Verdict != want {
				t.Errorf("%s: %g of the reference seen: %s, want %s", name, factor, k.Verdict, want)
			}
		}
	}
}

// gaugesOn is one part opened on some days.
func gaugesOn(days ...int) string {
	text := "opened,maker,part,can_gauge_mm\n"
	for i, d := range days {
		text += fmt.Sprintf("%s,Skerrow,S 1,%.2f\n", day(d), 0.40+0.01*float64(i*i%3))
	}
	return text
}

// One part needs 6 openings (4 degrees of freedom beyond its level and the
// slope), and half a year between the first and the last.
func TestOpeningsAndYearsRules(t *testing.T) {
	for _, c := range []struct {
		name   string
		days   []int
		tooFew bool
	}{
		{"5 openings", []int{0, 100, 200, 300, 400}, true},
		{"6 openings", []int{0, 100, 200, 300, 400, 500}, false},
		{"0.49 years", []int{0, 30, 60, 90, 120, 150, 179}, true},
		{"0.51 years", []int{0, 30, 60, 90, 120, 150, 186}, false},
	} {
		if e, _ := entryOf(t, gaugesOn(c.days...), "Skerrow", "", "can_gauge"); (e.Verdict == TooFew) != c.tooFew {
			t.Errorf("%s: %s (%q)", c.name, e.Verdict, e.Warnings)
		}
	}
}

// The most extreme orders of the openings, one in either direction, may have a p
// of one in fifty at most: 6 parts opened twice have 64 orders, of which two are
// more than that; 7 have 128.
func TestOrdersRule(t *testing.T) {
	for parts, tooFew := range map[int]bool{6: true, 7: false} {
		text := "opened,maker,part,can_gauge_mm\n"
		for p := range parts {
			text += fmt.Sprintf("%s,Skerrow,S %d,0.40\n%s,Skerrow,S %d,0.4%d\n", day(10*p), p, day(500+10*p), p, p%3)
		}
		if e, _ := entryOf(t, text, "Skerrow", "", "can_gauge"); (e.Verdict == TooFew) != tooFew {
			t.Errorf("%d parts opened twice: %s (%q)", parts, e.Verdict, e.Warnings)
		}
	}
}

// A part has an entry of its own from 6 days on.
func TestDaysOfAPartRule(t *testing.T) {
	for days, own := range map[int]bool{5: false, 6: true} {
		text := gaugesOn(0, 100, 200, 300, 400, 500, 600)
		for i := range days {
			text += fmt.Sprintf("%s,Skerrow,S 2,0.5%d\n", day(90*i), i%2)
		}
		if _, ok := entryOf(t, text, "Skerrow", "S 2", "can_gauge"); ok != own {
			t.Errorf("%d days: a line of its own %t", days, ok)
		}
	}
}

// An interval is 1.96 standard errors on either side with many degrees of
// freedom.
func TestConfidenceRule(t *testing.T) {
	text := "opened,maker,part,can_gauge_mm\n"
	for i := range 400 {
		text += fmt.Sprintf("%s,Skerrow,S %d,%.2f\n", day(5*i), i%4, 0.40+0.01*float64(i*i%7))
	}
	log := ofText(t, text)
	open := collect(log, openingDates(log, math.Inf(-1)))
	all, err := followMeasure(open, &followed[0], 1)
	if err != nil {
		t.Fatal(err)
	}
	if k := all[0]; math.Abs((k.High-k.PerYear)/k.se-1.96) > 0.01 {
		t.Errorf("%g standard errors", (k.High-k.PerYear)/k.se)
	}
}

// Parts opened once give a line from 6 of one maker on, where 8 products or more
// give the size trend.
func TestPartsOpenedOnceRules(t *testing.T) {
	log := func(own, others int) string {
		text := "opened,maker,part,can_gauge_mm,can_od_mm,can_height_mm\n"
		for i := range own + others {
			maker := "Skerrow"
			if i >= own {
				maker = "Lowmere"
			}
			text += fmt.Sprintf("%s,%s,P %d,0.4%d,%d,%d\n", day(100*i), maker, i, i*i%5, 65+3*(i*i%7), 70+5*(i%4))
		}
		return text
	}
	for _, c := range []struct {
		own, others int
		told        bool
	}{{5, 6, false}, {6, 6, true}, {7, 0, false}, {8, 0, true}} {
		e, _ := entryOf(t, log(c.own, c.others), "Skerrow", "", "can_gauge")
		if told := !math.IsNaN(e.SinglesSlope); told != c.told || e.SinglesN != c.own && told {
			t.Errorf("%d of the maker, %d of another: told %t (n %d)", c.own, c.others, told, e.SinglesN)
		}
	}
}

// A market curve needs 2 other makers, and for each of its terms 5 openings
// beyond one per part.
func TestMarketRules(t *testing.T) {
	log := func(others ...int) string { // openings of one part of each other maker
		text := "opened,maker,part,price\n"
		for m, n := range append([]int{8}, others...) {
			for i := range n {
				text += fmt.Sprintf("%s,%s,P %d,%.2f\n", day(40*i), []string{"Skerrow", "Lowmere", "Wexcombe", "Pellbrook"}[m], m, 8+0.1*float64((i+m)*(i+m)%5))
			}
		}
		return text
	}
	for _, c := range []struct {
		others []int
		market bool
	}{{[]int{9}, false}, {[]int{9, 9}, true}, {[]int{3, 3}, false}, {[]int{3, 4}, true}} {
		e, _ := entryOf(t, log(c.others...), "Skerrow", "", "price")
		if got := e.Verdict != TooFew; got != c.market {
			t.Errorf("openings of other makers %v: judged %t (%q)", c.others, got, e.Warnings)
		}
	}
}

// The residuals of a part are used as noise from 3 openings on.
func TestOpeningsAroundRule(t *testing.T) {
	for n, told := range map[int]int{2: 1, 3: 4} { // the first is the unseen error
		k := moving(&followed[0])
		s := num.Series{T: []float64{0, 1, 2}[:n], Y: []float64{0, 0.1, -0.1}[:n]}
		k.series = []num.Series{s}
		of := &noise{residuals: []float64{unseen}}
		of.add(k, &panel.FixedEffectsFit{N: n, Residuals: [][]float64{s.Y}, Information: 2}, 0.1)
		if len(of.residuals) != told {
			t.Errorf("%d openings: %d residuals", n, len(of.residuals))
		}
	}
}

// A part is an example of a change where its own readings differ by half to twice
// as much; of these the one with most openings is chosen.
func TestExampleRules(t *testing.T) {
	for share, example := range map[float64]string{0.45: "few", 0.55: "many", 1.9: "many", 2.1: "few"} {
		text := "opened,maker,part,can_gauge_mm\n"
		add := func(part string, n int, shows float64) {
			for i := range n {
				text += fmt.Sprintf("%s,Skerrow,%s,0.5\n%s,Skerrow,%s,%.4f\n", day(9*i), part, day(700+9*i), part, 0.5-0.1*shows)
			}
		}
		add("many", 6, share)
		add("few", 2, 1)
		log := ofText(t, text)
		open := collect(log, openingDates(log, math.Inf(-1)))
		k := moving(&followed[0])
		k.o = open
		k.values, k.blocks = open.gather("can_gauge"), nil
		k.blocks = open.blocks(open.makers[0], k.values, absolute)
		k.Verdict = Falling
		k.Statement = Statement{Shape: AsStep, By: -0.1, From: time.Date(2021, time.January, 1, 0, 0, 0, 0, time.UTC)}
		if k.example(); k.Statement.Example != example {
			t.Errorf("shows %g of it: %q is the example, want %q", share, k.Statement.Example, example)
		}
	}
}

// A running watch over all entries raises a false alarm in one log of twenty; the
// limit of one entry follows from its level.
func TestWatchRule(t *testing.T) {
	const n = 40
	limit := panel.CUSUMLimit(n-1, 0.5, 0.05)
	for factor, alarm := range map[float64]bool{0.98: false, 1.02: true} {
		k := moving(&followed[0])
		k.Verdict, k.variance = Rising, 1
		// Recursive residuals that stay level, then climb to about the limit.
		climbs := math.Ceil(limit / 2)
		s := num.Series{T: []float64{0}, Y: []float64{0}}
		mean := 0.0
		for i := 1; i < n; i++ {
			z := 0.0
			if i >= n-int(climbs) {
				z = 0.5 + factor*limit/climbs
			}
			y := mean + z*math.Sqrt(1+1/float64(i))
			mean += (y - mean) / float64(i+1)
			s.T, s.Y = append(s.T, float64(i)/10), append(s.Y, y)
		}
		k.series = []num.Series{s}
		if k.alarm(2020); k.AlarmFrom.IsZero() == alarm {
			t.Errorf("%g of the limit: alarm %v", factor, k.AlarmFrom)
		}
	}
}

// A country is reported with a change where at least 2 openings on either side
// name one, nine in ten of them the same; fewer may be misread.
func TestOriginRules(t *testing.T) {
	for _, c := range []struct {
		then, now, misread int
		told               bool
	}{{2, 1, 0, false}, {1, 2, 0, false}, {2, 2, 0, true}, {10, 10, 1, true}, {10, 10, 2, false}} {
		text := "opened,maker,part,can_gauge_mm,origin\n"
		for i := range c.then {
			text += fmt.Sprintf("%s,Skerrow,S 1,0.50,Ostermark\n", day(9*i))
		}
		for i := range c.now {
			origin := "Lenholt"
			if i < c.misread {
				origin = "Varnia"
			}
			text += fmt.Sprintf("%s,Skerrow,S 1,0.40,%s\n", day(700+9*i), origin)
		}
		log := ofText(t, text)
		open := collect(log, openingDates(log, math.Inf(-1)))
		k := moving(&followed[0])
		k.o, k.values = open, open.gather("can_gauge")
		k.blocks = open.blocks(open.makers[0], k.values, absolute)
		k.Verdict = Falling
		k.Statement = Statement{Shape: AsStep, By: -0.1, From: time.Date(2021, time.January, 1, 0, 0, 0, 0, time.UTC)}
		if k.codes(log); (k.Statement.OriginNow != "") != c.told {
			t.Errorf("%+v: %q, before %q", c, k.Statement.OriginNow, k.Statement.OriginThen)
		}
	}
}

// A maker's filters are dated by their codes where at least nine in ten can be
// read.
func TestCodedRule(t *testing.T) {
	for blank, coded := range map[int]bool{1: true, 2: false} {
		text := "opened,maker,part,can_gauge_mm,date_code\n"
		for i := range 10 {
			code := fmt.Sprintf("2019-W%02d", 10+i)
			if i < blank {
				code = ""
			}
			text += fmt.Sprintf("%s,Skerrow,S 1,0.50,%s\n", day(30*i), code)
		}
		log := ofText(t, text)
		if _, ok := madeDates(log, openingDates(log, math.Inf(-1)), math.Inf(-1)); ok != coded {
			t.Errorf("%d of 10 without a code: by codes %t", blank, ok)
		}
	}
}
