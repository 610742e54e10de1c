// Package programme puts stats/roundup into words as the script of a yearly programme,
// chapter by chapter in the order in which they are read, with its tables.
package programme

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
)

// Chapter is one chapter of the script.
type Chapter struct {
	ID     string
	Title  string
	Points []string // what is read aloud: a headline and, but for the short form, at most maxMore sentences more
	Notes  []string // what the speaker has to know and does not read aloud
	Charts []string // IDs of the charts on screen meanwhile
	Tables []string // IDs of the tables that go with it
}

// maxMore is how many sentences follow the headline of a chapter, most of them single
// findings; the tables have the rest.
const (
	maxMore   = 3
	inShortID = "in-short"
)

const shiftsTitle = "What changed since earlier years"

// IDs of the charts and tables that are not those of a ranking.
const (
	News           = "maker-changes"
	Shifts         = "shifts"
	Changes        = "part-changes"
	roundupRecords = "records"
	roundupGaps    = "not-measured-enough"
	roundupNext    = "open-next"
	MakersPrefix   = "makers-"
	DriftPrefix    = "drift-"
)

// speaker puts a roundup into words.
type speaker struct {
	r *roundup.Roundup
	u dataset.Units
}

// Chapters returns the script of a roundup: the short form, then the chapters that have
// something to report; the others are named in one chapter before the caution.
func Chapters(r *roundup.Roundup) []Chapter {
	s := speaker{r, r.Units}
	all := []Chapter{
		{ID: inShortID, Title: "In short", Points: slices.Concat(r.Notices, s.inShort())},
		{ID: "year", Title: "The year in figures", Points: s.opened(), Notes: s.notes()},
		s.news(),
	}
	for _, t := range r.Tables {
		all = append(all, Chapter{ID: t.ID, Title: WordsOfRanking(t.ID).title, Points: s.table(t), Charts: []string{t.ID}, Tables: []string{t.ID}})
	}
	makers := Chapter{ID: "makers", Title: "The makers side by side"}
	for _, t := range r.Makers {
		if sentence := s.makers(t); sentence != "" {
			makers.Points, makers.Charts = append(makers.Points, sentence), append(makers.Charts, MakersPrefix+t.ID)
		}
		makers.Tables = append(makers.Tables, MakersPrefix+t.ID)
	}
	all = append(all,
		Chapter{ID: Shifts, Title: shiftsTitle, Points: s.shifts(), Charts: []string{Shifts}, Tables: []string{Shifts}},
		Chapter{ID: Changes, Title: "Changed in parts opened before", Points: s.changes(), Charts: []string{Changes}, Tables: []string{Changes}},
		makers,
		Chapter{ID: roundupRecords, Title: "Records", Points: s.records(), Tables: []string{roundupRecords}},
		Chapter{ID: roundupGaps, Title: "Not measured often enough", Points: s.gaps(), Tables: []string{roundupGaps}},
		Chapter{ID: roundupNext, Title: "What to open again", Points: s.next(), Tables: []string{roundupNext}})
	rest := Chapter{ID: "rest", Title: "What else was looked for"}
	var none, few []string
	all = slices.DeleteFunc(all, func(c Chapter) bool {
		if len(c.Points) > 0 {
			return false
		}
		switch what, judged := s.notCovered(c.ID); {
		case what == "":
		case judged:
			none = append(none, what)
		default:
			few = append(few, what)
		}
		rest.Tables = append(rest.Tables, c.Tables...)
		return true
	})
	if len(none) > 0 {
		rest.Points = append(rest.Points, "Looked for and not found: "+strings.Join(none, "; ")+".")
	}
	if len(few) > 0 {
		rest.Points = append(rest.Points, "Too few openings to judge: "+strings.Join(few, "; ")+".")
	}
	last := Chapter{ID: "caution", Title: "The caution", Points: []string{wording.AboutBuild, wording.AboutPrices, wording.AboutFit}}
	if len(rest.Points) == 0 {
		last.Tables = rest.Tables
		return append(all, last)
	}
	return append(all, rest, last)
}

// notCovered names what a chapter without a sentence would have covered, and reports whether
// it could be judged; "" if another chapter says so.
func (s speaker) notCovered(id string) (what string, judged bool) {
	switch id {
	case News:
		return "changes of a maker", changes.Judged(s.r.Drift) > 0
	case roundup.PriceForContents:
		return "prices off what the contents usually cost", !slices.ContainsFunc(s.r.Tables, func(t roundup.Table) bool { return t.ID == id && t.TooFew })
	case "makers":
		return "makers that stand out", slices.ContainsFunc(s.r.Makers, func(t roundup.MakerTable) bool { return !t.TooFew })
	case Shifts:
		return "changes over all parts opened again", slices.ContainsFunc(s.r.Shifts, func(sh roundup.Shift) bool { return sh.Group == roundup.OpenedAgain && !sh.TooFew })
	case Changes:
		what := "parts that are not what they were"
		if slices.ContainsFunc(s.r.Reopened.Changes, func(c roundup.Change) bool { return c.Clear }) { // each of them explained
			what += ", beyond what makers changed"
		}
		return what, s.r.Reopened.Comparisons > 0
	case roundupRecords:
		return "records", s.r.NoRecord == ""
	case roundupNext:
		return "what to open again", false
	}
	return "", false
}

// Script writes the script as text.
func Script(t *wording.Text, title string, chapters []Chapter) {
	if title != "" {
		t.Heading(title)
	}
	number := 0
	for _, c := range chapters {
		if c.ID == inShortID {
			t.Heading(c.Title)
			for _, p := range c.Points {
				t.Item(p)
			}
			continue
		}
		number++
		t.Heading(fmt.Sprintf("%d. %s", number, c.Title))
		for _, p := range c.Points {
			t.Para(p)
		}
		for _, n := range c.Notes {
			t.Evidence(n)
		}
	}
}

// spokenRate is the number of words read aloud in a minute: common practice, no source.
const spokenRate = 150

// ChapterList writes when each chapter of the script begins. The short form is read at
// the beginning of the first.
func ChapterList(w io.Writer, chapters []Chapter) error {
	t := wording.NewText(w, false)
	words := 0
	for i, c := range chapters {
		if c.ID != inShortID {
			seconds := words * 60 / spokenRate
			if i <= 1 {
				seconds = 0
			}
			t.Line(fmt.Sprintf("%d:%02d %s", seconds/60, seconds%60, c.Title))
		}
		for _, p := range c.Points {
			words += len(strings.Fields(wording.Spaced(p)))
		}
	}
	return t.Err()
}

// verdicts returns the price verdicts on the parts opened in the year.
func (s speaker) verdicts() []price.Verdict {
	var out []price.Verdict
	for _, t := range s.r.Tables {
		if t.ID == roundup.PriceForContents {
			for _, p := range t.Places {
				out = append(out, p.Verdict)
			}
		}
	}
	return out
}

// inShort returns the year in at most seven lines, the changes of makers first.
func (s speaker) inShort() []string {
	judged := s.verdicts()
	above, below := prices.InShort(judged, s.r.Usable, s.u, price.Above), prices.InShort(judged, s.r.Usable, s.u, price.Below)
	switch {
	case s.r.Usable < price.LeastProducts:
		above = prices.NotJudged(s.r.Usable)
	case len(judged) > 0 && above+below == "":
		above = prices.NoneOff(len(judged))
	}
	phrases := append(changes.InShort(s.r.Changed, s.u), above, below)
	for _, t := range s.r.Tables {
		if lead := t.Leaders(); len(lead) == 1 && !t.TooFew && (t.ID == roundup.BestValue || t.ID == roundup.CanGauge) {
			first, of := WordsOfRanking(t.ID).First, ""
			if t.N < s.r.Opened.Products {
				of = fmt.Sprintf(" of %s", wording.Counted(t.N, "part", "parts"))
			}
			phrases = append(phrases, fmt.Sprintf("%s%s: %s (%s).", wording.UpperFirst(strings.TrimPrefix(first, "the ")), of, productName(lead[0]), s.value(t, lead[0].Value)))
		}
	}
	phrases = slices.DeleteFunc(append(phrases, logs.SlipsInShort(s.r.Doubtful)), func(p string) bool { return p == "" })
	return phrases[:min(len(phrases), 7)]
}

// opened returns the year in figures.
func (s speaker) opened() []string {
	o := s.r.Opened
	parts := "all different parts"
	if o.Products < o.Openings {
		parts = wording.Counted(o.Products, "part", "different parts")
	}
	opened, before := "opened "+wording.Counted(o.Openings, "filter", "filters"), "In"
	if !s.r.Until.IsZero() {
		opened, before = "has opened "+wording.Counted(o.Openings, "filter", "filters")+" up to "+s.r.Until.Format("January"), "In the whole of"
	}
	points := []string{fmt.Sprintf("In %d the bench %s, %s, by %s.", s.r.Year, opened, parts, wording.Counted(o.Makers, "maker", "makers"))}
	cost := "The filters cost "
	if o.Openings == 1 {
		points[0], cost = fmt.Sprintf("In %d the bench opened one filter.", s.r.Year), "It cost "
	}
	switch {
	case s.r.Before == 0:
		points = append(points, "It is the log's first year, so there is nothing to compare it with.")
	case o.NewProducts == 0:
		points = append(points, "Every part had been on the bench in an earlier year.")
	case o.Again == 0:
		points = append(points, "No part had been on the bench before.")
	default:
		points = append(points, fmt.Sprintf("New to the bench: %s; opened before: %s.", wording.Counted(o.NewProducts, "part", "parts"), wording.Thousands(o.Again)))
	}
	if o.Priced == 0 {
		return append(points, "What they cost is not in the log.")
	}
	cost += wording.Money(s.u, o.Spent)
	if none := o.Openings - o.Priced; none > 0 {
		cost += "; " + wording.Spelt(none) + " " + wording.Plural(none, "has", "have") + " no price in the log"
	}
	points = append(points, cost+".")
	if o.PricedBefore > 0 {
		known := ""
		if o.PricedBefore < o.OpeningsBefore {
			known = ", as far as their prices are known"
		}
		points = append(points, fmt.Sprintf("%s %d it was %s for %s%s.", before, s.r.Before, wording.Counted(o.OpeningsBefore, "filter", "filters"), wording.Money(s.u, o.SpentBefore), known))
	}
	return points
}

// notes returns what the speaker has to know and does not read aloud.
func (s speaker) notes() []string {
	var notes []string
	if last := s.r.Years[len(s.r.Years)-1]; s.r.Year != last {
		notes = append(notes, fmt.Sprintf("prices and makers' changes are judged on every opening in the log, those up to %d included; prices per media area are in the money of %d", last, s.r.Year))
	}
	if n := len(s.r.Doubtful); n > 0 {
		var where []string
		for _, p := range s.r.Doubtful {
			where = append(where, wording.Line(p.Line)+", "+wording.Short(catalogue.Words(p.Name)))
		}
		notes = append(notes, "left out of every place, record and change until measured again: "+strings.Join(wording.Cut(where, wording.MaxListed), "; "))
	}
	return append(notes, s.r.Warnings...)
}
