package changes

import (
	"math"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// ForPart tells the change of a maker by the readings of one part; came is
// what came with it, "" for nothing.
func ForPart(all []drift.Entry, part string, u dataset.Units) (said, came, evidence string) {
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

// setExample makes one part the example of a change, by its last reading before it,
// or its first one, and its last; where it has none the example stays.
func setExample(c *drift.Entry, part string) {
	from := math.Inf(-1)
	if !c.Told.From.IsZero() {
		from = drift.Year(c.Told.From)
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
	c.Told.Example, c.Told.Then, c.Told.Now = part, reading(*then), reading(*now)
}

// exampleShown are the readings then and now of the part that shows a change.
func exampleShown(c drift.Entry, u dataset.Units) string {
	if c.Told.Example == "" {
		return ""
	}
	say := func(v float64) string {
		if wording.Counts(c.Measure) { // whole things stay whole
			return wording.Fixed(v, 0)
		}
		return wording.Quantity(u, c.Measure, v)
	}
	then, now := say(c.Told.Then.Value), say(c.Told.Now.Value)
	if then == now { // the digits of the bench do not show it
		return ""
	}
	return " (" + wording.Short(c.Told.Example) + ": " + then + ", now " + now + ")"
}
