package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// maxListed is the number of entries a section of the text lists; beyond it a
// listener is lost, and the JSON has them all.
const maxListed = 12

// maxLooks is the same for what is only a hint: many of those are
// there by chance.
const maxLooks = 6

const findingsJSON = "findings.json"

// Findings writes the findings as text that can be read aloud: each a spoken
// sentence with at most one line of evidence, with every test and every other
// line in detail.
func Findings(t *Text, f *report.Findings, detail bool) {
	t.Notices(f.Notices)
	inShort(t, f)
	opened(t, f)
	above := prices(t, f, price.Above, detail)
	movedOn := overTheYears(t, f.Drift, f.Units, detail)
	below := prices(t, f, price.Below, detail)
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
	if judgedChanges(f.Drift) > 0 && !movedOn {
		nothing = append(nothing, "changes over the years")
	}
	if nothing = append(nothing, notOff(f)...); len(f.Problems) == 0 {
		nothing = append(nothing, "readings that look like slips")
	}
	if len(nothing) > 0 {
		t.Blank()
		t.Para("Looked for and not found: " + strings.Join(nothing, "; ") + ".")
	}
	PriceCaution(t)
}

// Head writes the short form that a terminal shows while the rest stands in
// files.
func Head(t *Text, f *report.Findings) {
	t.Notices(f.Notices)
	inShort(t, f)
	opened(t, f)
}

func opened(t *Text, f *report.Findings) {
	t.Heading("What was opened")
	logSentence(t, f)
	if c := f.Log.Columns; len(c.NotUsed) > 0 || slices.ContainsFunc(c.Read, func(r dataset.ReadColumn) bool { return !ownName(r) }) {
		ColumnsRead(t, c)
	}
}

// logSentence says how much a log holds, of what, and when it was opened.
func logSentence(t *Text, f *report.Findings) {
	l := f.Log
	s := fmt.Sprintf("%s: %s by %s, %s", fileName(l.File), counted(l.Rows, "filter", "filters"),
		counted(l.Makers, "maker", "makers"), counted(l.Parts, "part", "different parts"))
	known := min(len(l.FirstOpened), len(l.LastOpened)) // both to the year where one is
	first, last := l.FirstOpened[:known], l.LastOpened[:known]
	switch {
	case known == 0:
		s += "; the log has no dates"
	case first == last:
		on := "on "
		if known < len(time.DateOnly) { // a month or a year
			on = "in "
		}
		s += ", opened " + on + spoken(first)
	default:
		s += ", opened from " + spoken(first) + " to " + spoken(last)
	}
	t.Para(s + ".")
	if l.Used == 0 {
		t.Para("No trend could be drawn from them yet.")
	}
	if s := foreignSentence(f.Foreign, f.Units); s != "" {
		t.Para(s)
	}
	t.Notes(f.Warnings)
}

func market(t *Text, f *report.Findings, detail bool) {
	began := false
	for _, tr := range f.Trends {
		if tr.TooFew || !detail && (!tr.Related() || tr.Lacking != "") {
			continue // said at the end
		}
		if !began {
			t.Heading("What the market looks like")
			began = true
		}
		trendTold(t, tr, f.Units, detail)
	}
}

// prices writes one side of the usual prices; false where nothing lies there.
func prices(t *Text, f *report.Findings, direction string, detail bool) bool {
	judged := f.Usable >= price.LeastProducts
	found := len(withGrade(f.Verdicts, direction, trend.Clear, trend.Probable, trend.Hint)) > 0
	if judged && !found || !judged && direction == price.Below {
		return found // said once
	}
	t.Heading(capital(direction) + " what the contents usually cost")
	if s := moneySentence(f.MoneyOf); s != "" && judged && direction == price.Above {
		t.Para(s)
		if f.RiseKnown {
			said, evidence := riseSentence(f.Rise)
			t.Para(said)
			t.Evidence(evidence)
		}
	}
	verdictSection(t, f.Verdicts, direction, f.Usable, f.Units, detail)
	if direction == price.Above {
		mostMedia(t, f.MostMedia, f.Units)
	}
	return found
}

// offTrends writes what falls clearly or probably off the trends of other
// measures; in detail the hints as well.
func offTrends(t *Text, f *report.Findings, detail bool) {
	sure, hints := offOthers(f)
	if len(sure) == 0 && !(detail && len(hints) > 0) {
		return
	}
	say := func(flag trend.Flag) {
		said, evidence := offSaid(flag, trendOfFlag(flag, f.Trends), f.Units)
		t.Para(said)
		t.Evidence(evidence)
		if detail {
			t.Evidence(flagSentence(flag, f.Trends, f.Units))
		}
	}
	t.Heading("Off the other trends")
	listed(t, sure, maxListed, findingsJSON, say)
	if detail {
		listed(t, hints, maxLooks, findingsJSON, say)
	}
}

// offOthers are the flags off the trends of other measures than the price.
func offOthers(f *report.Findings) (sure, hints []trend.Flag) {
	for _, flag := range f.Flags {
		switch {
		case flag.Kind != trend.OffTrend || trendOfFlag(flag, f.Trends) == nil:
		case flag.Grade == trend.Hint:
			hints = append(hints, flag)
		default:
			sure = append(sure, flag)
		}
	}
	return sure, hints
}

// notOff says of the other trends which show no relation, and that nothing lies
// off them.
func notOff(f *report.Findings) []string {
	var out []string
	byChance, fitted := 0.0, false
	for _, tr := range f.Trends {
		if tr.TooFew {
			continue
		}
		if !tr.Related() {
			out = append(out, fmt.Sprintf("a relation between %s and %s (%s)", dataset.Words(tr.Predictor), dataset.Words(tr.Response), points(tr, tr.N)))
		}
		if tr.Response != "price" {
			byChance, fitted = byChance+trend.ByChance*float64(tr.N), true
		}
	}
	sure, hints := offOthers(f)
	if !fitted || len(sure) > 0 {
		return out
	}
	said := "parts off another trend"
	if n := len(hints); n > 0 {
		said = fmt.Sprintf("parts clearly or probably off another trend (%s, where chance alone gives about %s)",
			spelt(n)+strings.TrimPrefix(counted(n, "hint", "hints"), thousands(n)), fixed(math.Max(1, math.Round(byChance)), 0))
	}
	return append(out, said)
}

// expectedByChance is the number of sound points out of n that fall outside
// their own range, where a share of them does.
func expectedByChance(n int, share float64) string {
	return fixed(math.Max(1, math.Round(share*float64(n))), 0)
}

func measureAgain(t *Text, problems []dataset.Problem) {
	if len(problems) == 0 {
		return // said at the end
	}
	t.Heading("Readings to measure again")
	listed(t, bySeverity(problems, dataset.Unusable, dataset.Doubtful), maxListed, findingsJSON, func(p dataset.Problem) {
		at := p.Line
		p.Line = 0 // told as evidence
		t.Para(problemSentence(p))
		if at > 0 {
			t.Evidence(line(at))
		}
	})
	if notes := len(bySeverity(problems, dataset.Note)); notes > 0 {
		t.Para(fmt.Sprintf("The check command has %s more.", counted(notes, "note", "notes")))
	}
}

// problemSentence says where a problem stands, what stands there and what
// would be right.
func problemSentence(p dataset.Problem) string {
	var b strings.Builder
	if p.Line > 0 {
		b.WriteString(line(p.Line) + ", ")
	}
	if p.Name != "" {
		b.WriteString(short(dataset.Words(p.Name)))
		if p.Text != "" {
			b.WriteString(" " + quoted(p.Text))
		}
		b.WriteString(": ")
	}
	return capital(b.String() + ended(p.Message))
}

// bySeverity keeps the problems of the given severities, in that order.
func bySeverity(problems []dataset.Problem, order ...dataset.Severity) []dataset.Problem {
	var out []dataset.Problem
	for _, s := range order {
		for _, p := range problems {
			if p.Severity == s {
				out = append(out, p)
			}
		}
	}
	return out
}

func problemCount(problems []dataset.Problem) string {
	unusable := len(bySeverity(problems, dataset.Unusable))
	doubtful := len(bySeverity(problems, dataset.Doubtful))
	notes := len(problems) - unusable - doubtful
	if len(problems) == 0 {
		return "Nothing in the log looks like a slip."
	}
	var said []string
	first := 0 // number said first
	for _, c := range []struct {
		n         int
		one, many string
	}{{unusable, "entry that cannot be used", "entries that cannot be used"}, {doubtful, "doubtful reading", "doubtful readings"}, {notes, "note", "notes"}} {
		if c.n > 0 {
			first = cmp.Or(first, c.n)
			said = append(said, counted(c.n, c.one, c.many))
		}
	}
	return "There " + plural(first, "is", "are") + " " + joined(said) + "."
}

// What every text ends with, or what stands once beside the changes it tells.
const (
	aboutBuild = "A teardown measures how a filter is built: how much media, how thick a can, what it weighs. " +
		"It does not measure how well it filters, how long it lasts or what pressure it holds."
	aboutPrices = "\"Above what its contents usually cost\" compares a price with those of the other parts in this log. " +
		"It does not say why the price is what it is."
	aboutFit    = "For what fits your engine, follow the equipment maker's specification."
	aboutChange = "A log can't tell a redesign from another supplier or plant."
)

// caution ends a text.
func caution(t *Text, sentences ...string) {
	t.Heading("The caution")
	for _, s := range sentences {
		t.Para(s)
	}
}
