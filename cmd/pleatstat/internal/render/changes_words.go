package render

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// changeSentence is a change as it is said; an example stands beside it where asked for.
func changeSentence(c drift.Entry, u dataset.Units, example bool) string {
	whole, what := short(c.Maker)+"'s filters", dataset.Words(c.Measure)
	if c.Part != "" {
		whole = Name(c.Maker, c.Part)
	}
	falling := c.Verdict == drift.Falling
	var did, doing string // of a step, of a slope
	switch c.Measure {
	case "can_gauge":
		whole = strings.TrimSuffix(whole, "filters") + "cans"
		if c.Part != "" {
			whole = "the can of " + Name(c.Maker, c.Part)
		}
		did = map[bool]string{true: "became thinner", false: "became thicker"}[falling]
		doing = map[bool]string{true: "thinned", false: "thickened"}[falling]
	case "pleats":
		did = map[bool]string{true: "lost pleats", false: "gained pleats"}[falling]
		doing = did
	default:
		whole = "the " + what + " of " + whole
		did = map[bool]string{true: "fell", false: "rose"}[falling]
		doing = map[bool]string{true: "fallen", false: "risen"}[falling]
	}
	size := sizeOf(c.Measure, c.Relative, c.Told.By, u)
	by := " by " + size
	if c.Measure == "pleats" {
		did, doing, by = strings.TrimSuffix(did, " pleats"), strings.TrimSuffix(doing, " pleats"), " "+size
	}
	has := "has"
	if c.Part == "" && (c.Measure == "can_gauge" || c.Measure == "pleats") {
		has = "have"
	}
	shown := ""
	if example {
		shown = exampleShown(c, u)
	}
	if inOneStep(c) {
		return "Around " + month(c.Told.From) + " " + whole + " " + did + by + beyondMarket(c) + shown + "."
	}
	since := ""
	if !c.Told.From.IsZero() {
		since = " since " + month(c.Told.From)
	}
	return capital(whole + " " + has + " " + doing + by + " a year" + beyondMarket(c) + since + shown + ".")
}

func beyondMarket(e drift.Entry) string {
	if e.Relative {
		return " against the market"
	}
	return ""
}

// exampleShown are the readings then and now of the part that shows a change.
func exampleShown(c drift.Entry, u dataset.Units) string {
	if c.Told.Example == "" {
		return ""
	}
	say := func(v float64) string {
		if counts(c.Measure) { // whole things stay whole
			return fixed(v, 0)
		}
		return quantity(u, c.Measure, v)
	}
	then, now := say(c.Told.Then.Value), say(c.Told.Now.Value)
	if then == now { // the digits of the bench do not show it
		return ""
	}
	return " (" + short(c.Told.Example) + ": " + then + ", now " + now + ")"
}

// wholeThings takes the decimals off a number of whole things.
func wholeThings(column, value string) string {
	if counts(column) {
		return shortest(value)
	}
	return value
}

// sizeOf is the size of a change as a listener keeps it.
func sizeOf(measure string, relative bool, v float64, u dataset.Units) string {
	v = math.Abs(v)
	unit, perBase := u.Of(measure).Symbol, u.Of(measure).PerBase
	if relative {
		unit, perBase = "%", 100
	}
	if measure == "pleats" {
		if n := math.Round(v); math.Abs(v-n) < 0.05 && n >= 1 {
			if n == 1 {
				return "one pleat"
			}
			return spelt(int(n)) + " pleats"
		}
		unit = "pleats"
	}
	return unbroken(strings.TrimSpace(kept(v*perBase) + " " + unit))
}

// kept is a number in the one or two digits a listener keeps.
func kept(v float64) string {
	return shortest(fixed(v, decimalsFor(v)))
}

// shortest leaves out the noughts at the end of a number's decimals.
func shortest(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// changeEvidence is what a change rests on, short.
func changeEvidence(c drift.Entry, u dataset.Units) string {
	var say []string
	if r := between(c, u); r != "" {
		say = append(say, r+pace(c))
	}
	if at := c.Told; !at.From.IsZero() && month(at.Early) != month(at.Late) && !at.Early.IsZero() {
		say = append(say, came(c))
	}
	say = append(say, counted(c.N, "opening", "openings"), sameParts(c))
	if c.DatedByCode() {
		say = append(say, datedByCode)
	}
	return strings.Join(say, "; ")
}

// came is when a change may have come, or a slope have begun.
func came(c drift.Entry) string {
	early := month(c.Told.Early)
	if c.Told.Early.Year() == c.Told.Late.Year() {
		early = c.Told.Early.Format("January")
	}
	between := "between " + early + " and " + month(c.Told.Late)
	if inOneStep(c) {
		return between
	}
	return "began " + between
}

// between is the range of an amount, "" where it is not known.
func between(c drift.Entry, u dataset.Units) string {
	low, high := c.Told.Low, c.Told.High
	half := (high - low) / 2
	switch {
	case !(half >= 0):
		return ""
	case low*high <= 0:
		return signedYearly(c, u, low, half) + " to " + signedYearly(c, u, high, half)
	}
	low, high = sizes(low, high)
	from, to := wholeThings(c.Measure, yearly(c, u, low, half)), wholeThings(c.Measure, yearly(c, u, high, half))
	if bare, unit, there := strings.Cut(from, nbsp); there && strings.HasSuffix(to, nbsp+unit) { // the unit once
		from = bare
	}
	return from + " to " + to
}

// pace is "a year" for a slope.
func pace(c drift.Entry) string {
	if inOneStep(c) {
		return ""
	}
	return " a year"
}

// worth is the size of a change over what is worth finding in a year.
func worth(c drift.Entry) float64 {
	worth, share := drift.WorthFinding(c.Measure)
	if share && !c.Relative { // told in the measure's unit
		sum := 0.0
		for _, p := range c.Points {
			sum += p.Value
		}
		if len(c.Points) > 0 {
			worth *= sum / float64(len(c.Points))
		}
	}
	if !(worth > 0) {
		return 0
	}
	return math.Abs(c.Told.By) / worth
}

// shortChange is a change in a line of the short form: of cans that thin, what
// they have lost by now.
func shortChange(e drift.Entry, u dataset.Units) string {
	if e.Measure != "can_gauge" || e.Told.Shape != drift.AsSlopeSince || e.Part != "" || len(e.Points) == 0 {
		return changeSentence(e, u, false)
	}
	from := drift.Year(e.Told.From)
	total := e.Told.By * (e.Points[len(e.Points)-1].Year - from)
	if total*e.Told.By <= 0 {
		return changeSentence(e, u, false)
	}
	thinner, lost := "thinner", "lost"
	if e.Verdict == drift.Rising {
		thinner, lost = "thicker", "gained"
	}
	return fmt.Sprintf("%s's cans get %s: %s %s since %s.", short(e.Maker), thinner, quantity(u, e.Measure, math.Abs(total)), lost, month(e.Told.From))
}

// shareSaid is a share as it is said: "a tenth", else in per cent.
func shareSaid(share float64) string {
	said, nearest := percent(share), 0.15
	for _, f := range []struct {
		share float64
		said  string
	}{{1. / 2, "half"}, {1. / 3, "a third"}, {1. / 4, "a quarter"}, {1. / 5, "a fifth"}, {1. / 10, "a tenth"}, {1. / 20, "a twentieth"}} {
		if off := math.Abs(share/f.share - 1); off < nearest {
			said, nearest = f.said, off
		}
	}
	return said
}

// changeLimits says what could have been seen of the measures that show no
// change, and which makers have too few openings.
func changeLimits(t *Text, entries []drift.Entry, u dataset.Units) bool {
	all, unseen, needs := "All", []string{}, []string{}
	var seen, few []drift.Entry
	for _, e := range entries {
		switch {
		case e.Part != "":
		case e.Verdict == drift.TooFew:
			few = append(few, e)
			needs = append(needs, short(e.Maker)+", "+dataset.Words(e.Measure)+", "+haveNeed(e))
		case e.Moved():
			all = "All else"
		case e.MoreOpenings == 0:
			seen = append(seen, e)
		default:
			unseen = append(unseen, short(e.Maker)+", "+dataset.Words(e.Measure))
		}
	}
	if len(seen) > 0 {
		whose := "the makers"
		if makers := makersOf(entries); len(makers) == 1 {
			whose = short(makers[0]) + "'s filters"
		}
		// "Most likely": what is worth finding is found four times in five.
		t.Para(all + " followed of " + whose + " held steady: a change worth telling would most likely have been seen.")
		worth, _ := drift.WorthFinding("can_gauge")
		gauge := sizeOf("can_gauge", false, worth, u)
		t.Evidence(makersAndMeasures(seen) + "; worth telling, a year: " + gauge + " of can gauge, one pleat, 2" + nbsp + "% of a mass, length or area, 5" + nbsp + "% of a price")
	}
	if len(unseen) > 0 {
		t.Para("No change shown, though one worth telling could have been missed.")
		t.Evidence(strings.Join(cut(unseen, fewListed), "; "))
	}
	if len(few) > 0 {
		t.Para("Too few openings of the same parts to tell of changes: " + makersAndMeasures(few) + ".")
		t.Evidence(strings.Join(cut(needs, fewListed), "; "))
	}
	return len(seen)+len(unseen)+len(few) > 0
}

// makersAndMeasures counts whom and what some entries are about.
func makersAndMeasures(entries []drift.Entry) string {
	makers := counted(len(makersOf(entries)), "maker", "makers")
	return makers + ", " + counted(len(measuresOf(entries)), "measure", "measures")
}
