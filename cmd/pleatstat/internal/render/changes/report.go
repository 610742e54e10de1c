package changes

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
)

// A price per area changes with the price or with the media area: that is one change,
// reported once.
const (
	PricePerArea = "price_per_area"
	mediaArea    = "media_area"

	MediaDearer  = " At an unchanged price each piece of media costs more by that."
	MediaCheaper = " At an unchanged price each piece of media costs less by that."
)

// followsArea reports whether a price per area changed because the media area did, with
// the price itself unchanged.
func followsArea(e drift.Entry) bool { return e.Follows == mediaArea }

// DearerByArea returns a sentence on what a change of the media area does to the price
// per area, "" if that is not among the changes found.
func DearerByArea(e drift.Entry, found []drift.Entry) string {
	if e.Measure != mediaArea {
		return ""
	}
	for _, o := range found {
		if o.Maker == e.Maker && o.Part == e.Part && followsArea(o) {
			if o.Verdict == drift.Rising {
				return MediaDearer
			}
			return MediaCheaper
		}
	}
	return ""
}

// Report writes the text of the drift command: who changed, and what would have been
// found of the others; in detail also every test and what it could have found.
func Report(t *wording.Text, entries []drift.Entry, u dataset.Units, since time.Time, detail bool) {
	if !since.IsZero() {
		t.Para("Only openings since " + wording.Spoken(since.Format(time.DateOnly)) + " are judged.")
	}
	switch {
	case len(entries) == 0:
		t.Heading(Title)
		t.Para("Too few to say: none of the openings looked at has a date (column opened) and one of the measures that are followed.")
	case Judged(entries) == 0:
		t.Heading(Title)
		t.Para("Too few to say: no part was opened often enough at different dates.")
		Limits(t, entries, u)
	case OverTheYears(t, entries, u, detail):
		if slices.ContainsFunc(entries, func(e drift.Entry) bool { return e.Part == "" && !e.Moved() }) {
			t.Heading("What else was followed")
			Limits(t, entries, u)
		}
	default:
		t.Heading(Title)
		Limits(t, entries, u)
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
		LimitsInDetail(t, entries, u)
	}
	wording.Caution(t, wording.AboutBuild, wording.AboutFit)
}

// measureTable writes one measure of every maker and part, a line each, with a blank
// line before it if apart. It returns false if there is nothing to write.
func measureTable(t *wording.Text, measure string, entries []drift.Entry, u dataset.Units, apart bool) bool {
	row := func(name, year, low, high, n, q, verdict string) {
		t.Line("  " + wording.Pad(wording.Clip(name, 23), 23) + wording.PadLeft(year, 9) + wording.PadLeft(low, 9) + wording.PadLeft(high, 9) + wording.PadLeft(n, 4) + wording.PadLeft(q, 8) + " " + verdict)
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
			t.Line(wording.UpperFirst(strings.TrimSuffix(catalogue.Words(measure)+", "+unit, ", ")) + " a year, with its 95 % range")
			row("", "a year", "from", "to", "n", "q", "verdict")
		}
		decimals := wording.DecimalsFor((e.High - e.Low) / 2 * perBase)
		say := func(v float64) string { return wording.Minus(wording.Fixed(v*perBase, decimals)) }
		row(whose(e), say(e.PerYear), say(e.Low), say(e.High), strconv.Itoa(e.N), wording.ShortLevel(e.Q), string(e.Verdict))
	}
	return began
}
