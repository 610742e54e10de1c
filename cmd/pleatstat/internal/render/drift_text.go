package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/trend"
)

// moved are the entries with a verdict of movement.
func moved(entries []drift.Entry) []drift.Entry {
	var out []drift.Entry
	for _, e := range entries {
		if e.Verdict == drift.Falling || e.Verdict == drift.Rising {
			out = append(out, e)
		}
	}
	return out
}

func driftSection(t *Text, entries []drift.Entry, u dataset.Units, where string, full bool) {
	t.Heading("Changed over the years")
	found := moved(entries)
	judged := 0
	for _, e := range entries {
		if e.Verdict != drift.TooFew {
			judged++
		}
	}
	switch {
	case judged == 0:
		t.Para("Too few to say: no part was opened often enough at different dates.")
		return
	case len(found) == 0:
		t.Para(fmt.Sprintf("Nobody, as far as these openings can tell: %s, and none moved by more than the bench can see.", tested(judged)))
		return
	}
	listed(t, makersOf(found), maxListed, where, func(maker string) { t.makerDrift(maker, found, u, full) })
	if judged > len(found) {
		t.Para(fmt.Sprintf("Besides these, %s and showed no change that these openings can tell from none.", tested(judged-len(found))))
	}
	t.Para("(The witness only counts rises and falls within each part and assumes nothing else about them.)")
	t.Para(cantTellWhose)
}

func tested(n int) string {
	if n == 1 {
		return "one measure of one maker or part was tested"
	}
	return thousands(n) + " measures of a maker or a part were tested"
}

// makersOf lists the makers of the entries, in order of first appearance.
func makersOf(entries []drift.Entry) []string {
	var out []string
	for _, e := range entries {
		if !slices.Contains(out, e.Maker) {
			out = append(out, e.Maker)
		}
	}
	return out
}

// makerDrift writes what moved at one maker: its measures, then the single
// parts that show it by themselves.
func (t *Text) makerDrift(maker string, found []drift.Entry, u dataset.Units, full bool) {
	parts := map[string][]string{}
	var order []string
	name := short(maker) + ": "
	write := t.Item
	for _, e := range found {
		if e.Maker != maker {
			continue
		}
		if e.Part != "" && !full && hasMaker(found, maker) {
			if parts[e.Part] == nil {
				order = append(order, e.Part)
			}
			parts[e.Part] = append(parts[e.Part], trend.Words(e.Measure))
			continue
		}
		if followsArea(e) {
			continue // told with the area
		}
		said := driftSentence(e, u)
		if e.Part != "" {
			said = "in part " + short(e.Part) + " alone, " + said
		}
		write(originFirst(e, capital(name+said)) + changeSentence(e, u) + dearerByArea(e, found))
		name, write = "", t.Detail
		if made := byDateCode(e); made != "" {
			t.Detail(capital(made) + ".")
		}
		if full {
			for _, s := range driftDetails(e, u) {
				t.Detail(s)
			}
		}
		for _, w := range e.Warnings {
			t.Detail("Note: " + sentence(w))
		}
	}
	var alone []string
	for _, part := range order {
		alone = append(alone, short(part)+" ("+strings.Join(parts[part], ", ")+")")
	}
	if len(alone) > 0 {
		t.Detail("Single parts show it by themselves: " + joined(cut(alone, maxListed)) + ".")
	}
}

const mediaArea = "media_area"

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
				return " At an unchanged price each piece of media costs more by that."
			}
			return " At an unchanged price each piece of media costs less by that."
		}
	}
	return ""
}

// hasMaker says whether a maker as a whole moved, not only single parts.
func hasMaker(found []drift.Entry, maker string) bool {
	return slices.ContainsFunc(found, func(e drift.Entry) bool { return e.Maker == maker && e.Part == "" })
}

// DriftReport writes the drift command's text: who changed, every line that
// was tested, and what could not have been seen.
func DriftReport(t *Text, entries []drift.Entry, u dataset.Units, since time.Time) {
	if !since.IsZero() {
		t.Para("Only openings since " + spoken(since.Format(time.DateOnly)) + " are judged.")
	}
	driftSection(t, entries, u, "the JSON (--json)", true)
	t.Heading("Everything that was tested")
	written := 0
	for _, measure := range measuresOf(entries) {
		if t.measureTable(measure, entries, u, written > 0) {
			written++
		}
	}
	if written == 0 {
		t.Para("Nothing: no maker and no part has openings enough.")
	}
	t.Heading("What the data cannot say")
	switch {
	case len(entries) == 0:
		t.Para("Anything about changes: none of the openings looked at has a date (column opened) and one of the measures that are followed.")
	case !driftLimits(t, entries, u):
		t.Para("Nothing that was asked.")
	}
	caution(t, aboutBuild, aboutFit)
}

// measureTable is one measure of every maker and part, a line each, with a free
// line before it where apart; false where there is nothing in it.
func (t *Text) measureTable(measure string, entries []drift.Entry, u dataset.Units, apart bool) bool {
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
			t.Line(capital(strings.TrimSuffix(trend.Words(measure)+", "+unit, ", ")) + " a year, with its 95 % range")
			row("", "a year", "from", "to", "n", "q", "verdict")
		}
		decimals := decimalsFor((e.High - e.Low) / 2 * perBase)
		say := func(v float64) string { return minus(fixed(v*perBase, decimals)) }
		row(whose(e), say(e.PerYear), say(e.Low), say(e.High), strconv.Itoa(e.N), shortLevel(e.Q), string(e.Verdict))
	}
	return began
}
