// Package changes puts the results of stats/drift into words: what makers and parts
// changed over the years, how small a change would have been found, and every test in
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

func inOneStep(e drift.Entry) bool { return e.Statement.Shape == drift.AsStep }

// MadeBy returns the changes to report of one maker: those of the maker as a whole or,
// if there are none, those of its parts. A price per area that changed because the
// area did is left out: it is reported with the area.
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

// Title is the heading of the changes of makers.
const Title = "Changed over the years"

// OverTheYears writes who changed over the years. It returns false, and writes nothing,
// if nobody did.
func OverTheYears(t *wording.Text, entries []drift.Entry, u dataset.Units, detail bool) bool {
	found := moved(entries)
	if len(found) == 0 {
		return false
	}
	t.Heading(Title)
	wording.Listed(t, makersOf(found), wording.MaxListed, "the JSON", func(maker string) {
		for _, together := range TogetherBy(maker, found) {
			WriteChange(t, together[0], together[1:], found, u)
		}
		if detail {
			details(t, maker, found, u)
		}
	})
	t.Para(wording.AboutChange)
	return true
}

// TogetherBy returns the changes of one maker; those that came at the same time are in
// one group.
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

// Leading returns the measures by which changes are reported, without those that
// changed with them.
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

// WriteChange writes one change, then those that came with it.
func WriteChange(t *wording.Text, c drift.Entry, with, found []drift.Entry, u dataset.Units) {
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

// Others returns a sentence on the changes that came with c.
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
	return wording.UpperFirst(wording.Joined(names)) + " " + went + "." + dearer
}

// details writes the tests behind a maker's changes.
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

// sameTime reports whether c belongs in a group with first: a change of the same
// filters, in the same direction, also a step or also a slope, within a year of it.
func sameTime(c, first drift.Entry) bool {
	const year = 366 * 24 * time.Hour
	return c.Part == first.Part && c.Verdict == first.Verdict && inOneStep(c) == inOneStep(first) &&
		c.Statement.From.IsZero() == first.Statement.From.IsZero() && c.Statement.From.Sub(first.Statement.From).Abs() <= year
}

// Judged returns the number of entries with enough openings for a verdict.
func Judged(entries []drift.Entry) int {
	n := 0
	for _, e := range entries {
		if e.Verdict != drift.TooFew {
			n++
		}
	}
	return n
}

// moved returns the entries whose verdict is a change.
func moved(entries []drift.Entry) []drift.Entry {
	return slices.DeleteFunc(slices.Clone(entries), func(e drift.Entry) bool { return !e.Moved() })
}

// makersOf and measuresOf list the makers and measures of the entries, in order of
// first appearance.
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
