// Package comparison puts stats/compare into words: parts or makers side by side, what
// differs in each group of measures, and which differences cannot be decided.
package comparison

import (
	"fmt"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/compare"
	"pleatstat/stats/drift"
)

// Report writes a comparison in the order of a teardown: for each group of measures a
// sentence on what differs, then its rows.
func Report(t *wording.Text, c *compare.Comparison, u dataset.Units) {
	t.Heading("Side by side")
	for k, p := range c.Products {
		t.Item(letter(k) + " is " + comparedIs(c.Kind, p))
	}
	t.Para(prices.MoneySentence(c.MoneyOf))
	doubted(t, c, u)
	if len(c.Measures)+len(c.Words) == 0 {
		t.Blank()
		t.Para("Nothing was recorded of all of them.")
	}
	for _, g := range compare.Groups() {
		compareGroup(t, c, g, u)
	}
	if len(c.Measures)+len(c.Words) > 0 {
		t.Heading("What can't be told")
		noDifference(t, c)
		t.Para("In the tables " + legend(c, u))
	}
	t.Notes(c.PriceWarnings)
	t.Notes(c.Warnings)
	if c.Kind == compare.OfMakers {
		t.Para("What is compared are the parts opened here. A maker whose parts are for larger engines has larger and dearer filters.")
	}
	wording.PriceCaution(t)
}

// comparedIs names one product of a comparison, with its openings.
func comparedIs(kind compare.Kind, p compare.Product) string {
	behind := wording.Counted(p.Openings, "opening", "openings") + ", " + wording.Lines(p.Lines)
	switch kind {
	case compare.OfMakers:
		return fmt.Sprintf("%s (%s, %s).", wording.Short(p.Maker), wording.Counted(p.Parts, "part", "parts"), behind)
	case compare.OfTimes:
		return fmt.Sprintf("%s as opened in %s (%s).", wording.Name(p.Maker, p.Part), p.When, behind)
	}
	return fmt.Sprintf("%s (%s).", wording.Name(p.Maker, p.Part), behind)
}

// letter returns the name of a product in the tables: A, B, …
func letter(k int) string { return string(rune('A' + k)) }

// groupTitle returns the title of a group, which begins its sentence.
func groupTitle(g compare.Group) string {
	switch g {
	case compare.OfPlate:
		return "The base plate and inlet"
	case compare.OfValves:
		return "The valves and the rest"
	}
	return "The " + string(g)
}

// compareGroup writes one group, if anything of it was recorded.
func compareGroup(t *wording.Text, c *compare.Comparison, g compare.Group, u dataset.Units) {
	rows := rowsOf(c, g, u)
	priced := g == compare.OfPrice && len(c.Prices) > 0
	if len(rows) == 0 && !priced {
		return
	}
	t.Blank()
	if len(rows) > 0 {
		s, evidence := groupVerdict(c, g, u)
		t.Para(s)
		t.Evidence(evidence)
	}
	t.Para(inKind(c, g))
	for _, s := range changesIn(c, g, u) {
		t.Para(s)
	}
	if priced {
		for _, j := range c.Prices {
			prices.Verdict(t, j.Verdict, u)
			for _, w := range j.Warnings {
				if !slices.Contains(c.PriceWarnings, w) && w != j.Why {
					t.Para("Note: " + wording.Sentence(w))
				}
			}
		}
	}
	if len(rows) > 0 {
		t.Blank()
		groupTable(t, c, rows)
	}
}

// doubted writes which readings were left out.
func doubted(t *wording.Text, c *compare.Comparison, u dataset.Units) {
	var each []string
	for _, d := range c.Doubted {
		each = append(each, fmt.Sprintf("%s's %s of %s (%s)", letter(d.Place), catalogue.Words(d.Column), wording.WholeThings(d.Column, wording.Quantity(u, d.Column, d.Value)), wording.Line(d.Line)))
	}
	if len(each) > 0 {
		t.Para("Left out, as they look like slips (see `check`): " + wording.Joined(wording.Cut(each, wording.FewListed)) + ".")
	}
}

// inKind states which categories differ within a group.
func inKind(c *compare.Comparison, g compare.Group) string {
	var all []string
	for _, w := range c.Words {
		if w.Group != g || !w.Differs {
			continue
		}
		var each []string
		for k, words := range w.Values {
			if len(words) > 0 {
				each = append(each, letter(k)+" "+wording.Short(strings.Join(words, " or ")))
			}
		}
		all = append(all, catalogue.Words(w.Column)+" "+strings.Join(each, ", "))
	}
	if len(all) == 0 {
		return ""
	}
	return "Different in kind: " + strings.Join(all, "; ") + "."
}

// changesIn returns sentences on what makers changed in a group, one for each product:
// the change of the pleats or the can gauge, which other measures follow, or else of
// the measure that comes first in teardownOrder. A price per area or total mass whose media
// area or can gauge also changed only follows that change and is left out.
func changesIn(c *compare.Comparison, g compare.Group, u dataset.Units) []string {
	follows := map[string]string{"price_per_area": "media_area", "total_mass": "can_gauge"}
	order := func(x compare.Change) int {
		if x.Measure == "pleats" || x.Measure == "can_gauge" {
			return -1
		}
		return place(x.Measure)
	}
	var out []string
	for k, p := range c.Products {
		var own []compare.Change
		for _, x := range c.Changes {
			if x.Place == k && compare.GroupOf(x.Measure) == g &&
				!slices.ContainsFunc(c.Changes, func(y compare.Change) bool { return y.Place == k && y.Measure == follows[x.Measure] }) {
				own = append(own, x)
			}
		}
		if len(own) > 0 {
			first := slices.MinFunc(own, func(a, b compare.Change) int { return order(a) - order(b) })
			out = append(out, changedSentence(c.Kind, letter(k), p, first, u))
		}
	}
	return out
}

func changedSentence(kind compare.Kind, who string, p compare.Product, x compare.Change, u dataset.Units) string {
	s := changes.Sentence(x.Of, u, false)
	say := func(v float64) string { return wording.WholeThings(x.Measure, wording.Quantity(u, x.Measure, v)) }
	switch {
	case x.NNow == 0:
		return s + fmt.Sprintf(" %s was opened only before: what it is like today is not known.", who)
	case kind == compare.OfMakers:
		return s + " Of each part only the openings since count."
	case x.NThen == 0:
		return s + fmt.Sprintf(" All openings of %s are from since.", who)
	case x.Shape == drift.AsStep:
		return s + fmt.Sprintf(" %s counts by its openings since: before %s, now %s.", who, say(x.Then), say(x.Now))
	}
	return s + fmt.Sprintf(" %s counts by its latest openings: before %s, now %s.", who, say(x.Then), say(x.Now))
}

// maxNoDifference is how many measures a sentence names; the tables mark them all.
const maxNoDifference = 10

// noDifference writes the measures in which the products may be alike: those in which
// specimens of one part differ as much, those that the bench cannot tell apart, and
// those of which neither is known.
func noDifference(t *wording.Text, c *compare.Comparison) {
	byMark := map[string][]string{}
	for _, m := range c.Measures {
		byMark[mark(m)] = append(byMark[mark(m)], catalogue.Words(m.Column))
	}
	say := func(mark, s string) {
		if len(byMark[mark]) > 0 {
			t.Para(s + wording.Joined(wording.Cut(byMark[mark], maxNoDifference)) + ".")
		}
	}
	as := "two of one part may differ as much"
	if c.Kind == compare.OfMakers {
		as = "the parts of one maker differ as much"
	}
	say(markSpecimens, "Different in what was opened, but "+as+": ")
	say(markBench, "The bench can't tell apart: ")
	if c.Kind == compare.OfMakers {
		say(markUnknown, "Too few makers with several parts to say: ")
	} else {
		say(markUnknown, "Too few readings taken twice to say: ")
	}
	say(markSame, "The same: ")
}
