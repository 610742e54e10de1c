// Package findings puts stats/report into words: everything found in a log, in full, in
// short, as a table of its parts, and for a log that is read for the first time.
package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

const findingsJSON = "findings.json"

// Report writes the findings as text that can be read aloud: each is a sentence with at
// most one line of evidence. In detail every test and every other line is added.
func Report(t *wording.Text, f *report.Findings, detail bool) {
	t.Notices(f.Notices)
	inShort(t, f)
	opened(t, f)
	above := onSide(t, f, price.Above, detail)
	movedOn := changes.OverTheYears(t, f.Drift, f.Units, detail)
	below := onSide(t, f, price.Below, detail)
	market(t, f, detail)
	offTrends(t, f, detail)
	measureAgain(t, f.Problems)
	cannotSay(t, f, detail)
	var nothing []string
	if f.Usable >= price.LeastProducts && !above {
		nothing = append(nothing, "parts above what their contents usually cost")
	}
	if f.Usable >= price.LeastProducts && !below {
		nothing = append(nothing, "parts below what their contents usually cost")
	}
	if changes.Judged(f.Drift) > 0 && !movedOn {
		nothing = append(nothing, "changes over the years")
	}
	if nothing = append(nothing, notOff(f)...); len(f.Problems) == 0 {
		nothing = append(nothing, "readings that look like slips")
	}
	if len(nothing) > 0 {
		t.Blank()
		t.Para("Looked for and not found: " + strings.Join(nothing, "; ") + ".")
	}
	wording.PriceCaution(t)
}

// Head writes the short form, for a terminal while the rest goes into files.
func Head(t *wording.Text, f *report.Findings) {
	t.Notices(f.Notices)
	inShort(t, f)
	opened(t, f)
}

func opened(t *wording.Text, f *report.Findings) {
	t.Heading("What was opened")
	logSentence(t, f)
	if c := f.Log.Columns; len(c.NotUsed) > 0 || slices.ContainsFunc(c.Read, func(r dataset.ReadColumn) bool { return !logs.OwnName(r) }) {
		logs.ColumnsRead(t, c)
	}
}

// logSentence writes how much a log holds, of what, and when it was opened.
func logSentence(t *wording.Text, f *report.Findings) {
	l := f.Log
	s := fmt.Sprintf("%s: %s by %s, %s", wording.FileName(l.File), wording.Counted(l.Rows, "filter", "filters"),
		wording.Counted(l.Makers, "maker", "makers"), wording.Counted(l.Parts, "part", "different parts"))
	known := min(len(l.FirstOpened), len(l.LastOpened)) // both only as precise as the less precise one
	first, last := l.FirstOpened[:known], l.LastOpened[:known]
	switch {
	case known == 0:
		s += "; the log has no dates"
	case first == last:
		on := "on "
		if known < len(time.DateOnly) { // a month or a year
			on = "in "
		}
		s += ", opened " + on + wording.Spoken(first)
	default:
		s += ", opened from " + wording.Spoken(first) + " to " + wording.Spoken(last)
	}
	t.Para(s + ".")
	if l.Used == 0 {
		t.Para("No trend could be drawn from them yet.")
	}
	prices.Foreign(t, f.Foreign, f.Units)
	t.Notes(f.Warnings)
}

func market(t *wording.Text, f *report.Findings, detail bool) {
	began := false
	for _, tr := range f.Trends {
		if tr.TooFew || !detail && (!tr.Related() || tr.Lacking != "") {
			continue // reported at the end
		}
		if !began {
			t.Heading("What the market looks like")
			began = true
		}
		trends.WriteTrend(t, tr, f.Units, detail)
	}
}

// offTrends writes the parts that lie clearly or probably off trends of measures other
// than the price; in detail the hints as well.
func offTrends(t *wording.Text, f *report.Findings, detail bool) {
	sure, hints := offOthers(f)
	if len(sure) == 0 && !(detail && len(hints) > 0) {
		return
	}
	say := func(flag trend.Flag) {
		tr := trends.OfFlag(flag, f.Trends)
		sentence, evidence := trends.FlagInShort(flag, tr, f.Units)
		t.Para(sentence)
		t.Evidence(evidence)
		if detail {
			t.Evidence(trends.FlagSentence(flag, tr, f.Units))
		}
	}
	t.Heading("Off the other trends")
	wording.Listed(t, sure, wording.MaxListed, findingsJSON, say)
	if detail {
		wording.Listed(t, hints, wording.MaxLooks, findingsJSON, say)
	}
}

// offOthers returns the flags on trends of measures other than the price.
func offOthers(f *report.Findings) (sure, hints []trend.Flag) {
	for _, flag := range f.Flags {
		switch {
		case flag.Kind != trend.OffTrend || trends.OfFlag(flag, f.Trends) == nil:
		case flag.Grade == trend.Hint:
			hints = append(hints, flag)
		default:
			sure = append(sure, flag)
		}
	}
	return sure, hints
}

// notOff names, for the sentence on what was not found, the trends that show no relation,
// and parts off trends of measures other than the price if there are none.
func notOff(f *report.Findings) []string {
	var out []string
	byChance, fitted := 0.0, false
	for _, tr := range f.Trends {
		if tr.TooFew {
			continue
		}
		if !tr.Related() {
			out = append(out, fmt.Sprintf("a relation between %s and %s (%s)", catalogue.Words(tr.Predictor), catalogue.Words(tr.Response), trends.Points(tr, tr.N)))
		}
		if tr.Response != "price" {
			byChance, fitted = byChance+trend.ByChance*float64(tr.N), true
		}
	}
	sure, hints := offOthers(f)
	if !fitted || len(sure) > 0 {
		return out
	}
	count := "parts off another trend"
	if n := len(hints); n > 0 {
		count = fmt.Sprintf("parts clearly or probably off another trend (%s, where chance alone gives about %s)",
			wording.Spelt(n)+strings.TrimPrefix(wording.Counted(n, "hint", "hints"), wording.Thousands(n)), wording.Fixed(math.Max(1, math.Round(byChance)), 0))
	}
	return append(out, count)
}

func measureAgain(t *wording.Text, problems []dataset.Problem) {
	if len(problems) == 0 {
		return // reported at the end
	}
	t.Heading("Readings to measure again")
	wording.Listed(t, logs.BySeverity(problems, dataset.Unusable, dataset.Doubtful), wording.MaxListed, findingsJSON, func(p dataset.Problem) {
		at := p.Line
		p.Line = 0 // it goes into the evidence
		t.Para(logs.ProblemSentence(p))
		if at > 0 {
			t.Evidence(wording.Line(at))
		}
	})
	if notes := len(logs.BySeverity(problems, dataset.Note)); notes > 0 {
		t.Para(fmt.Sprintf("The check command has %s more.", wording.Counted(notes, "note", "notes")))
	}
}

// cannotSay writes what the data is too little for, and which changes over the years
// would have been found.
func cannotSay(t *wording.Text, f *report.Findings, detail bool) {
	t.Heading("What the data cannot say")
	written := false
	for _, tr := range f.Trends {
		if tr.TooFew {
			t.Item(trends.Title(tr) + ": " + trends.TooFew(tr))
			written = true
		}
	}
	for _, w := range f.PriceWarnings {
		t.Item(wording.Sentence(w))
		written = true
	}
	switch {
	case changes.Judged(f.Drift) == 0:
		t.Item("Changes over the years: too few to say, as no part was opened often enough at different dates.")
		written = true
	case detail:
		written = changes.LimitsInDetail(t, f.Drift, f.Units) || written
	default:
		written = changes.Limits(t, f.Drift, f.Units) || written
	}
	if !written {
		t.Para("Nothing that was asked: every trend and every maker had enough openings.")
	}
}
