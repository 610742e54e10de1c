// Package changes puts into words what makers and parts changed over the years, as
// stats/drift found it, what could have been seen and was not, and every test in
// detail.
package changes

import (
	"slices"
	"strings"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
)

func inOneStep(e drift.Entry) bool { return e.Told.Shape == drift.AsStep }

// MadeBy are the changes of one maker to be told: those of the maker as a
// whole where there are any, else those of its parts. A price per area that
// follows the area is told with it.
func MadeBy(maker string, found []drift.Entry) []drift.Entry {
	whole := slices.ContainsFunc(found, func(e drift.Entry) bool { return e.Maker == maker && e.Part == "" })
	var out []drift.Entry
	for _, e := range found {
		if e.Maker == maker && (e.Part == "" || !whole) && !followsArea(e) {
			out = append(out, e)
		}
	}
	return out
}

// Title heads the changes of makers.
const Title = "Changed over the years"

// OverTheYears writes who changed over the years; false where nobody did.
func OverTheYears(t *wording.Text, entries []drift.Entry, u dataset.Units, detail bool) bool {
	found := moved(entries)
	if len(found) == 0 {
		return false
	}
	t.Heading(Title)
	wording.Listed(t, makersOf(found), wording.MaxListed, "the JSON", func(maker string) {
		for _, together := range TogetherBy(maker, found) {
			Tell(t, together[0], together[1:], found, u)
		}
		if detail {
			details(t, maker, found, u)
		}
	})
	t.Para(wording.AboutChange)
	return true
}

// TogetherBy are the changes of one maker, those that came together in one group.
func TogetherBy(maker string, found []drift.Entry) [][]drift.Entry {
	var out [][]drift.Entry
	for _, c := range MadeBy(maker, found) {
		i := slices.IndexFunc(out, func(group []drift.Entry) bool { return sameTime(c, group[0]) })
		if i < 0 {
			out = append(out, []drift.Entry{c})
		} else {
			out[i] = append(out[i], c)
		}
	}
	return out
}

// Leading are the measures that changes are told by, without those told as
// having moved with them.
func Leading(entries []drift.Entry) []string {
	found := moved(entries)
	var out []string
	for _, maker := range makersOf(found) {
		for _, together := range TogetherBy(maker, found) {
			out = append(out, together[0].Measure)
		}
	}
	return out
}

// Tell writes one change, then those that came with it.
func Tell(t *wording.Text, c drift.Entry, with, found []drift.Entry, u dataset.Units) {
	t.Para(originFirst(c, Sentence(c, u, true)) + DearerByArea(c, found))
	t.Evidence(evidenceOf(c, u))
	if len(with) == 0 {
		return
	}
	var figures []string
	for _, w := range with {
		if r := between(w, u); r != "" {
			figures = append(figures, catalogue.Words(w.Measure)+" "+r+beyondMarket(w))
		}
	}
	t.Para(Others(c, with, found))
	if len(figures) > 0 {
		t.Evidence(strings.Join(figures, "; ") + pace(c))
	}
}

// Others says what came with a change.
func Others(c drift.Entry, with, found []drift.Entry) string {
	var names []string
	dearer := ""
	for _, w := range with {
		names = append(names, catalogue.Words(w.Measure))
		dearer += DearerByArea(w, found)
	}
	falling := c.Verdict == drift.Falling
	went := map[bool]string{true: "fell", false: "rose"}[falling] + " at about the same time"
	if !inOneStep(c) {
		went = map[bool]string{true: "have fallen too", false: "have risen too"}[falling]
		if len(with) == 1 && !wording.Counts(with[0].Measure) {
			went = strings.Replace(went, "have", "has", 1)
		}
	}
	return wording.Capital(wording.Joined(names)) + " " + went + "." + dearer
}

// details are the tests behind a maker's changes.
func details(t *wording.Text, maker string, found []drift.Entry, u dataset.Units) {
	for _, e := range found {
		if e.Maker != maker {
			continue
		}
		name := ""
		if e.Part != "" {
			name = "part " + wording.Short(e.Part) + ": "
		}
		t.Evidence(strings.TrimSuffix(name+driftSentence(e, u), "."))
		t.Evidence(byDateCode(e))
		for _, s := range driftDetails(e, u) {
			t.Evidence(strings.TrimSuffix(s, "."))
		}
		for _, w := range e.Warnings {
			t.Evidence(wording.Sentence(w))
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

// Judged is the number of entries with enough openings.
func Judged(entries []drift.Entry) int {
	n := 0
	for _, e := range entries {
		if e.Verdict != drift.TooFew {
			n++
		}
	}
	return n
}

// moved are the entries with a verdict of movement.
func moved(entries []drift.Entry) []drift.Entry {
	return slices.DeleteFunc(slices.Clone(entries), func(e drift.Entry) bool { return !e.Moved() })
}

// makersOf and measuresOf list what the entries are about, in order of first
// appearance.
func makersOf(entries []drift.Entry) []string {
	return each(entries, func(e drift.Entry) string { return e.Maker })
}

func measuresOf(entries []drift.Entry) []string {
	return each(entries, func(e drift.Entry) string { return e.Measure })
}

func each(entries []drift.Entry, of func(drift.Entry) string) []string {
	var out []string
	for _, e := range entries {
		if s := of(e); !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
