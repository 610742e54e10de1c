package render

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

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

// pricePerArea moves when the price or the area does: one change, told once.
const (
	pricePerArea = "price_per_area"
	mediaArea    = "media_area"

	mediaDearer  = " At an unchanged price each piece of media costs more by that."
	mediaCheaper = " At an unchanged price each piece of media costs less by that."
)

// followsArea says whether a price per area moved because the media area did, the
// price itself being unchanged: one change, told once.
func followsArea(e drift.Entry) bool { return e.Follows == mediaArea }

// dearerByArea is what a change of the media area does to the price of an area, ""
// where that is not among what moved.
func dearerByArea(e drift.Entry, found []drift.Entry) string {
	if e.Measure != mediaArea {
		return ""
	}
	for _, o := range found {
		if o.Maker == e.Maker && o.Part == e.Part && followsArea(o) {
			if o.Verdict == drift.Rising {
				return mediaDearer
			}
			return mediaCheaper
		}
	}
	return ""
}

// hasMaker says whether a maker as a whole moved, not only single parts.
func hasMaker(found []drift.Entry, maker string) bool {
	return slices.ContainsFunc(found, func(e drift.Entry) bool { return e.Maker == maker && e.Part == "" })
}

// DriftReport writes the drift command's text: who changed, and what could have
// been seen of the others; in detail every test with what it could have found.
func DriftReport(t *Text, entries []drift.Entry, u dataset.Units, since time.Time, detail bool) {
	if !since.IsZero() {
		t.Para("Only openings since " + spoken(since.Format(time.DateOnly)) + " are judged.")
	}
	switch {
	case len(entries) == 0:
		t.Heading(overYears)
		t.Para("Too few to say: none of the openings looked at has a date (column opened) and one of the measures that are followed.")
	case judgedChanges(entries) == 0:
		t.Heading(overYears)
		t.Para("Too few to say: no part was opened often enough at different dates.")
		changeLimits(t, entries, u)
	case overTheYears(t, entries, u, detail):
		if slices.ContainsFunc(entries, func(e drift.Entry) bool { return e.Part == "" && !e.Moved() }) {
			t.Heading("What else was followed")
			changeLimits(t, entries, u)
		}
	default:
		t.Heading(overYears)
		changeLimits(t, entries, u)
	}
	if detail {
		t.Heading("Everything that was tested")
		written := 0
		for _, measure := range measuresOf(entries) {
			if measureTable(t, measure, entries, u, written > 0) {
				written++
			}
		}
		if written == 0 {
			t.Para("Nothing: no maker and no part has openings enough.")
		}
		t.Heading("What would have been found")
		driftLimits(t, entries, u)
	}
	caution(t, aboutBuild, aboutFit)
}

// measureTable is one measure of every maker and part, a line each, with a free
// line before it where apart; false where there is nothing in it.
func measureTable(t *Text, measure string, entries []drift.Entry, u dataset.Units, apart bool) bool {
	row := func(name, year, low, high, n, q, verdict string) {
		t.Line("  " + pad(cutName(name, 23), 23) + padLeft(year, 9) + padLeft(low, 9) + padLeft(high, 9) + padLeft(n, 4) + padLeft(q, 8) + " " + verdict)
	}
	began := false
	for _, e := range entries {
		if e.Measure != measure || math.IsNaN(e.PerYear) {
			continue
		}
		unit, perBase := u.Of(measure).Symbol, u.Of(measure).PerBase
		if e.Relative {
			unit, perBase = "% against the market", 100
		}
		if !began {
			began = true
			if apart {
				t.Blank()
			}
			t.Line(capital(strings.TrimSuffix(dataset.Words(measure)+", "+unit, ", ")) + " a year, with its 95 % range")
			row("", "a year", "from", "to", "n", "q", "verdict")
		}
		decimals := decimalsFor((e.High - e.Low) / 2 * perBase)
		say := func(v float64) string { return minus(fixed(v*perBase, decimals)) }
		row(whose(e), say(e.PerYear), say(e.Low), say(e.High), strconv.Itoa(e.N), shortLevel(e.Q), string(e.Verdict))
	}
	return began
}
