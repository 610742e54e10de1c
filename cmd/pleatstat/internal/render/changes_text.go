package render

import (
	"slices"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

func inOneStep(e drift.Entry) bool { return e.Told.Shape == drift.AsStep }

// madeBy are the changes of one maker to be told: those of the maker as a
// whole where there are any, else those of its parts. A price per area that
// follows the area is told with it.
func madeBy(maker string, found []drift.Entry) []drift.Entry {
	whole := hasMaker(found, maker)
	var out []drift.Entry
	for _, e := range found {
		if e.Maker == maker && (e.Part == "" || !whole) && !followsArea(e) {
			out = append(out, e)
		}
	}
	return out
}

// overYears heads the changes of makers.
const overYears = "Changed over the years"

// overTheYears writes who changed over the years; false where nobody did.
func overTheYears(t *Text, entries []drift.Entry, u dataset.Units, detail bool) bool {
	found := moved(entries)
	if len(found) == 0 {
		return false
	}
	t.Heading(overYears)
	listed(t, makersOf(found), maxListed, "the JSON", func(maker string) {
		for _, together := range togetherBy(maker, found) {
			changeTold(t, together[0], together[1:], found, u)
		}
		if detail {
			changeDetails(t, maker, found, u)
		}
	})
	t.Para(aboutChange)
	return true
}

// togetherBy are the changes of one maker, those that came together in one group.
func togetherBy(maker string, found []drift.Entry) [][]drift.Entry {
	var out [][]drift.Entry
	for _, c := range madeBy(maker, found) {
		i := slices.IndexFunc(out, func(group []drift.Entry) bool { return sameTime(c, group[0]) })
		if i < 0 {
			out = append(out, []drift.Entry{c})
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

// changeTold writes one change, then those that came with it.
func changeTold(t *Text, c drift.Entry, with, found []drift.Entry, u dataset.Units) {
	t.Para(originFirst(c, changeSentence(c, u, true)) + dearerByArea(c, found))
	t.Evidence(changeEvidence(c, u))
	if len(with) == 0 {
		return
	}
	var figures []string
	for _, w := range with {
		if r := between(w, u); r != "" {
			figures = append(figures, dataset.Words(w.Measure)+" "+r+beyondMarket(w))
		}
	}
	t.Para(others(c, with, found))
	if len(figures) > 0 {
		t.Evidence(strings.Join(figures, "; ") + pace(c))
	}
}

// others says what came with a change.
func others(c drift.Entry, with, found []drift.Entry) string {
	var names []string
	dearer := ""
	for _, w := range with {
		names = append(names, dataset.Words(w.Measure))
		dearer += dearerByArea(w, found)
	}
	falling := c.Verdict == drift.Falling
	went := map[bool]string{true: "fell", false: "rose"}[falling] + " at about the same time"
	if !inOneStep(c) {
		went = map[bool]string{true: "have fallen too", false: "have risen too"}[falling]
		if len(with) == 1 && !counts(with[0].Measure) {
			went = strings.Replace(went, "have", "has", 1)
		}
	}
	return capital(joined(names)) + " " + went + "." + dearer
}

// changeDetails are the tests behind a maker's changes.
func changeDetails(t *Text, maker string, found []drift.Entry, u dataset.Units) {
	for _, e := range found {
		if e.Maker != maker {
			continue
		}
		name := ""
		if e.Part != "" {
			name = "part " + short(e.Part) + ": "
		}
		t.Evidence(strings.TrimSuffix(name+driftSentence(e, u), "."))
		if made := byDateCode(e); made != "" {
			t.Evidence(made)
		}
		for _, s := range driftDetails(e, u) {
			t.Evidence(strings.TrimSuffix(s, "."))
		}
		for _, w := range e.Warnings {
			t.Evidence(sentence(w))
		}
	}
}

// sameTime says whether a change of another measure is told with a first one: of
// the same filters, the same way, as a step or a slope too, within a year.
func sameTime(c, first drift.Entry) bool {
	const year = 366 * 24 * time.Hour
	return c.Part == first.Part && c.Verdict == first.Verdict && inOneStep(c) == inOneStep(first) &&
		c.Told.From.IsZero() == first.Told.From.IsZero() && c.Told.From.Sub(first.Told.From).Abs() <= year
}
