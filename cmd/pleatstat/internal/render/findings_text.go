package render

import (
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

// Findings writes the findings as text that can be read aloud.
func Findings(t *Text, f *report.Findings) {
	ColumnsRead(t, f.Log.Columns)
	t.Notices(f.Notices)
	opened(t, f)
	market(t, f)
	overpriced(t, f)
	bargains(t, f)
	offTrend(t, f)
	Drift(t, f.Drift, f.Units, findingsJSON)
	measureAgain(t, f.Problems)
	cannotSay(t, f)
	caution(t, aboutBuild, aboutPrices)
}

// Head writes the short form that a terminal shows while the rest stands in
// files.
func Head(t *Text, f *report.Findings) {
	ColumnsRead(t, f.Log.Columns)
	t.Notices(f.Notices)
	opened(t, f)
	t.Blank()
	if f.Usable < price.LeastProducts {
		t.Item(NotJudged(f.Usable))
	} else {
		t.Item(headPrices(f, price.Above, "Above what their contents usually cost"))
		t.Item(headPrices(f, price.Below, "Below what their contents usually cost"))
	}
	t.Item(headFlags(f))
	t.Item(headDrift(f.Drift))
	t.Item(problemCount(f.Problems))
}

// headPrices names the parts whose prices are off on one side.
func headPrices(f *report.Findings, direction, title string) string {
	var said []string
	for _, g := range []trend.Grade{trend.Clear, trend.Probable} {
		var names []string
		for _, v := range withGrade(f.Verdicts, direction, g) {
			names = append(names, Name(v.Maker, v.Part))
		}
		if len(names) > 0 {
			said = append(said, map[trend.Grade]string{trend.Clear: "clearly ", trend.Probable: "probably "}[g]+joined(cut(names, maxListed)))
		}
	}
	if len(said) == 0 {
		said = []string{fmt.Sprintf("none of %s judged", counted(f.Usable, "part", "parts"))}
	}
	if n := len(withGrade(f.Verdicts, direction, trend.Hint)); n > 0 {
		said = append(said, counted(n, "hint", "hints"))
	}
	return title + ": " + strings.Join(said, "; ") + "."
}

// headFlags names what falls off the other trends.
func headFlags(f *report.Findings) string {
	var names []string
	hints := 0
	for _, flag := range f.Flags {
		name := Name(flag.Maker, flag.Part)
		switch {
		case flag.Kind != trend.OffTrend:
		case flag.Grade == trend.Hint:
			hints++
		case !slices.Contains(names, name):
			names = append(names, name)
		}
	}
	said := joined(cut(names, maxListed))
	if said == "" {
		said = "none"
	}
	if hints == 0 {
		return fmt.Sprintf("Clearly or probably off another trend: %s.", said)
	}
	return fmt.Sprintf("Clearly or probably off another trend: %s (and %s).", said, counted(hints, "hint", "hints"))
}

func opened(t *Text, f *report.Findings) {
	t.Heading("What was opened")
	logSentence(t, f)
}

// logSentence says how much a log holds, of what, and when it was opened.
func logSentence(t *Text, f *report.Findings) {
	l := f.Log
	s := fmt.Sprintf("%s: %s by %s, %s", fileName(l.File), counted(l.Rows, "filter", "filters"),
		counted(l.Makers, "maker", "makers"), counted(l.Parts, "part", "different parts"))
	switch {
	case l.FirstOpened == "":
		s += "; the log has no dates"
	case l.FirstOpened == l.LastOpened:
		on := "on "
		if len(l.FirstOpened) < len(time.DateOnly) { // a month or a year
			on = "in "
		}
		s += ", opened " + on + spoken(l.FirstOpened)
	default:
		s += ", opened from " + spoken(l.FirstOpened) + " to " + spoken(l.LastOpened)
	}
	t.Para(s + ".")
	if l.Used == 0 {
		t.Para("No trend could be drawn from them yet.")
	} else {
		t.Para(fmt.Sprintf("Openings behind at least one of the trends: %s.", thousands(l.Used)))
	}
	if s := foreignSentence(f.Foreign, f.Units); s != "" {
		t.Para(s)
	}
	t.notes(f.Warnings)
}

func market(t *Text, f *report.Findings) {
	t.Heading("What the market looks like")
	fitted := 0
	for _, tr := range f.Trends {
		if !tr.TooFew {
			t.trendItem(tr, f.Units)
			fitted++
		}
	}
	if fitted == 0 {
		t.Para("No trend can be drawn yet; see what the data cannot say.")
	}
}

func overpriced(t *Text, f *report.Findings) {
	t.Heading("Above what the contents usually cost")
	if s := moneySentence(f.MoneyOf); s != "" && f.Usable >= price.LeastProducts {
		t.Para(s)
		if f.RiseKnown {
			said, evidence := riseSentence(f.Rise)
			t.Para(said)
			t.evidence(evidence)
		}
	}
	verdictSection(t, f.Verdicts, price.Above, f.Usable, f.Units)
	mostMedia(t, f.MostMedia, f.Units)
}

func bargains(t *Text, f *report.Findings) {
	if f.Usable < price.LeastProducts {
		return // said above
	}
	t.Heading("Below what the contents usually cost")
	verdictSection(t, f.Verdicts, price.Below, f.Usable, f.Units)
}

func offTrend(t *Text, f *report.Findings) {
	t.Heading("Off the other trends")
	said, fitted := false, 0
	for _, tr := range f.Trends {
		if tr.Response != "price" && !tr.TooFew {
			fitted++
			said = t.offOne(tr, f) || said
		}
	}
	switch {
	case said:
	case fitted == 0:
		t.Para("Too few to say: no other trend could be drawn.")
	default:
		t.Para("Nothing: every point lies inside its own 95" + nbsp + "% range.")
	}
}

// offOne lists what falls off one trend; false where nothing does.
func (t *Text) offOne(tr *trend.Trend, f *report.Findings) bool {
	var clear, look []trend.Flag
	for _, flag := range f.Flags {
		switch {
		case flag.Trend != tr.ID || flag.Kind != trend.OffTrend:
		case flag.Grade != trend.Hint:
			clear = append(clear, flag)
		default:
			look = append(look, flag)
		}
	}
	if len(clear) > 0 {
		t.Para(trendTitle(tr) + ":")
		listed(t, clear, maxListed, findingsJSON, func(flag trend.Flag) { t.Item(flagSentence(flag, f.Trends, f.Units)) })
	}
	if len(look) > 0 {
		t.Para(fmt.Sprintf("%s, a hint (of %s about %s land here by chance):", trendTitle(tr), points(tr, tr.N), expectedByChance(tr.N, 0.05)))
		listed(t, look, maxLooks, findingsJSON, func(flag trend.Flag) { t.Item(lookSentence(flag, tr, f.Units)) })
	}
	return len(clear)+len(look) > 0
}

// expectedByChance is the number of sound points out of n that fall outside
// their own range, where a share of them does.
func expectedByChance(n int, share float64) string {
	return fixed(math.Max(1, math.Round(share*float64(n))), 0)
}

func measureAgain(t *Text, problems []dataset.Problem) {
	t.Heading("Readings to measure again")
	if len(problems) == 0 {
		t.Para("None: nothing in the log looks like a slip.")
		return
	}
	t.Para(problemCount(problems))
	listed(t, bySeverity(problems, dataset.Unusable, dataset.Doubtful), maxListed, findingsJSON, t.problem)
}

func (t *Text) problem(p dataset.Problem) { t.Item(problemSentence(p)) }

// problemSentence says where a problem stands, what stands there and what
// would be right.
func problemSentence(p dataset.Problem) string {
	var b strings.Builder
	if p.Line > 0 {
		fmt.Fprintf(&b, "line%s%d, ", nbsp, p.Line)
	}
	if p.Name != "" {
		b.WriteString(short(trend.Words(p.Name)))
		if p.Text != "" {
			fmt.Fprintf(&b, " %q", short(p.Text))
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
	return fmt.Sprintf("%s that cannot be used, %s, %s.", counted(unusable, "entry", "entries"),
		counted(doubtful, "doubtful reading", "doubtful readings"), counted(notes, "note", "notes"))
}

const (
	aboutBuild = "A teardown measures how a filter is built: how much media, how thick a can, what it weighs. " +
		"It does not measure how well it filters, how long it lasts or what pressure it holds."
	aboutPrices = "\"Above what its contents usually cost\" compares a price with those of the other parts in this log. " +
		"It does not say why the price is what it is: testing, freight, shop and warranty are not in the can."
)

func caution(t *Text, sentences ...string) {
	t.Heading("The caution")
	for _, s := range sentences {
		t.Para(s)
	}
}
