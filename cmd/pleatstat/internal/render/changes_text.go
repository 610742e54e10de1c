package render

import (
	"slices"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/trend"
)

// change is an entry that moved, as it is told.
type change struct{ drift.Entry }

func (c change) step() bool { return c.Told.Shape == drift.AsStep }

// madeBy are the changes of one maker to be told: those of the maker as a
// whole where there are any, else those of its parts. A price per area that
// follows the area is told with it.
func madeBy(maker string, found []drift.Entry) []change {
	whole := hasMaker(found, maker)
	var out []change
	for _, e := range found {
		if e.Maker == maker && (e.Part == "" || !whole) && !followsArea(e) {
			out = append(out, change{e})
		}
	}
	return out
}

// What heads the changes of makers, and is said of them once.
const (
	overYears   = "Changed over the years"
	aboutChange = "A log can't tell a redesign from another supplier or plant."
)

// overTheYears writes who changed over the years; false where nobody did.
func overTheYears(t *Text, entries []drift.Entry, u dataset.Units, detail bool) bool {
	found := moved(entries)
	if len(found) == 0 {
		return false
	}
	t.Heading(overYears)
	listed(t, makersOf(found), maxListed, "the JSON", func(maker string) {
		for _, together := range togetherBy(maker, found) {
			t.change(together[0], together[1:], found, u)
		}
		if detail {
			t.changeDetails(maker, found, u)
		}
	})
	t.Para(aboutChange)
	return true
}

// togetherBy are the changes of one maker, those that came together in one group.
func togetherBy(maker string, found []drift.Entry) [][]change {
	var out [][]change
	for _, c := range madeBy(maker, found) {
		i := slices.IndexFunc(out, func(group []change) bool { return c.sameTime(group[0]) })
		if i < 0 {
			out = append(out, []change{c})
		} else {
			out[i] = append(out[i], c)
		}
	}
	return out
}

// LeadingChanges are the measures that changes are told by, without those told as
// having moved with them.
func LeadingChanges(entries []drift.Entry) []string {
	found := moved(entries)
	var out []string
	for _, maker := range makersOf(found) {
		for _, together := range togetherBy(maker, found) {
			out = append(out, together[0].Measure)
		}
	}
	return out
}

// change writes one change, then those that came with it.
func (t *Text) change(c change, with []change, found []drift.Entry, u dataset.Units) {
	t.Para(originFirst(c.Entry, c.sentence(u, true)) + dearerByArea(c.Entry, found))
	t.evidence(c.evidence(u))
	if len(with) == 0 {
		return
	}
	var figures []string
	for _, w := range with {
		if r := w.between(u); r != "" {
			figures = append(figures, trend.Words(w.Measure)+" "+r+beyondMarket(w.Entry))
		}
	}
	t.Para(c.others(with, found))
	if len(figures) > 0 {
		t.evidence(strings.Join(figures, "; ") + c.pace())
	}
}

// others says what came with a change.
func (c change) others(with []change, found []drift.Entry) string {
	var names []string
	dearer := ""
	for _, w := range with {
		names = append(names, trend.Words(w.Measure))
		dearer += dearerByArea(w.Entry, found)
	}
	falling := c.Verdict == drift.Falling
	went := map[bool]string{true: "fell", false: "rose"}[falling] + " at about the same time"
	if !c.step() {
		went = map[bool]string{true: "have fallen too", false: "have risen too"}[falling]
		if len(with) == 1 && !counts(with[0].Measure) {
			went = strings.Replace(went, "have", "has", 1)
		}
	}
	return capital(joined(names)) + " " + went + "." + dearer
}

// changeDetails are the tests behind a maker's changes.
func (t *Text) changeDetails(maker string, found []drift.Entry, u dataset.Units) {
	for _, e := range found {
		if e.Maker != maker {
			continue
		}
		name := ""
		if e.Part != "" {
			name = "part " + short(e.Part) + ": "
		}
		t.evidence(strings.TrimSuffix(name+driftSentence(e, u), "."))
		if made := byDateCode(e); made != "" {
			t.evidence(made)
		}
		for _, s := range driftDetails(e, u) {
			t.evidence(strings.TrimSuffix(s, "."))
		}
		for _, w := range e.Warnings {
			t.evidence(sentence(w))
		}
	}
}

// sameTime says whether a change of another measure is told with a first one: of
// the same filters, the same way, as a step or a slope too, within a year.
func (c change) sameTime(first change) bool {
	const year = 366 * 24 * time.Hour
	return c.Part == first.Part && c.Verdict == first.Verdict && c.step() == first.step() &&
		c.Told.From.IsZero() == first.Told.From.IsZero() && c.Told.From.Sub(first.Told.From).Abs() <= year
}
