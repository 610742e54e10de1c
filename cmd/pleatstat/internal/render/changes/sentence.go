package changes

import (
	"math"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
)

// Sentence returns a change in one sentence, with the readings of an example if asked.
func Sentence(c drift.Entry, u dataset.Units, example bool) string {
	whole, what := wording.Short(c.Maker)+"'s filters", catalogue.Words(c.Measure)
	if c.Part != "" {
		whole = wording.Name(c.Maker, c.Part)
	}
	falling := c.Verdict == drift.Falling
	var did, doing string // of a step, of a slope
	switch c.Measure {
	case "can_gauge":
		whole = strings.TrimSuffix(whole, "filters") + "cans"
		if c.Part != "" {
			whole = "the can of " + wording.Name(c.Maker, c.Part)
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
	size := SizeOf(c.Measure, c.Relative, c.Statement.By, u)
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
		return "Around " + wording.Month(c.Statement.From) + " " + whole + " " + did + by + beyondMarket(c) + shown + "."
	}
	since := ""
	if !c.Statement.From.IsZero() {
		since = " since " + wording.Month(c.Statement.From)
	}
	return wording.UpperFirst(whole + " " + has + " " + doing + by + " a year" + beyondMarket(c) + since + shown + ".")
}

func beyondMarket(e drift.Entry) string {
	if e.Relative {
		return " against the market"
	}
	return ""
}

// SizeOf returns the size of a change in the digits a listener remembers.
func SizeOf(measure string, relative bool, v float64, u dataset.Units) string {
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
			return wording.Spelt(int(n)) + " pleats"
		}
		unit = "pleats"
	}
	return wording.Unbroken(strings.TrimSpace(wording.Rounded(v*perBase) + " " + unit))
}

// evidenceOf returns the evidence for a change, in short.
func evidenceOf(c drift.Entry, u dataset.Units) string {
	var say []string
	if r := between(c, u); r != "" {
		say = append(say, r+pace(c))
	}
	if at := c.Statement; !at.From.IsZero() && wording.Month(at.Early) != wording.Month(at.Late) && !at.Early.IsZero() {
		say = append(say, came(c))
	}
	say = append(say, wording.Counted(c.N, "opening", "openings"), sameParts(c))
	if c.DatedByCode() {
		say = append(say, datedByCode)
	}
	return strings.Join(say, "; ")
}

// came returns between which months a step came or a slope began.
func came(c drift.Entry) string {
	early := wording.Month(c.Statement.Early)
	if c.Statement.Early.Year() == c.Statement.Late.Year() {
		early = c.Statement.Early.Format("January")
	}
	between := "between " + early + " and " + wording.Month(c.Statement.Late)
	if inOneStep(c) {
		return between
	}
	return "began " + between
}

// between returns the range of the amount of a change, "" if it is not known.
func between(c drift.Entry, u dataset.Units) string {
	low, high := c.Statement.Low, c.Statement.High
	half := (high - low) / 2
	switch {
	case !(half >= 0):
		return ""
	case low*high <= 0:
		return SignedYearly(c, u, low, half) + " to " + SignedYearly(c, u, high, half)
	}
	low, high = sizes(low, high)
	from, to := wording.WholeThings(c.Measure, yearly(c, u, low, half)), wording.WholeThings(c.Measure, yearly(c, u, high, half))
	if bare, unit, there := strings.Cut(from, wording.NBSP); there && strings.HasSuffix(to, wording.NBSP+unit) { // state the unit once
		from = bare
	}
	return from + " to " + to
}

// pace returns " a year" for a slope, "" for a step.
func pace(c drift.Entry) string {
	if inOneStep(c) {
		return ""
	}
	return " a year"
}

// ForPart returns the change of a maker with the readings of one part as the example,
// what came with it ("" for nothing), and the evidence.
func ForPart(all []drift.Entry, part string, u dataset.Units) (sentence, came, evidence string) {
	groups := TogetherBy(all[0].Maker, all)
	if len(groups) == 0 {
		return "", "", ""
	}
	first := groups[0][0]
	setExample(&first, part)
	if rest := groups[0][1:]; len(rest) > 0 {
		came = Others(first, rest, nil)
	}
	return Sentence(first, u, true), came, evidenceOf(first, u)
}

// setExample makes one part the example of a change: its last reading before the change,
// or else its first reading, against its last. Without two readings of the part, and
// for a change against the market, the example stays as it is.
func setExample(c *drift.Entry, part string) {
	from := math.Inf(-1)
	if !c.Statement.From.IsZero() {
		from = drift.Year(c.Statement.From)
	}
	var then, now *drift.Observation
	for i := range c.Points {
		p := &c.Points[i]
		if p.Part != part {
			continue
		}
		if then == nil || p.Year < from {
			then = p
		}
		now = p
	}
	if then == nil || then == now || c.Relative {
		return
	}
	reading := func(o drift.Observation) drift.Reading {
		return drift.Reading{When: o.When, Value: o.Value, N: 1, Lines: []int{o.Line}}
	}
	c.Statement.Example, c.Statement.Then, c.Statement.Now = part, reading(*then), reading(*now)
}

// exampleShown returns the readings then and now of the part that shows a change.
func exampleShown(c drift.Entry, u dataset.Units) string {
	if c.Statement.Example == "" {
		return ""
	}
	say := func(v float64) string {
		if wording.Counts(c.Measure) { // counts are whole
			return wording.Fixed(v, 0)
		}
		return wording.Quantity(u, c.Measure, v)
	}
	then, now := say(c.Statement.Then.Value), say(c.Statement.Now.Value)
	if then == now { // the difference is below the digits shown
		return ""
	}
	return " (" + wording.Short(c.Statement.Example) + ": " + then + ", now " + now + ")"
}
