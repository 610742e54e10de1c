package render

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// maxListed is the number of entries a section of the text lists; beyond it a
// listener is lost, and the JSON has them all.
const maxListed = 12

// maxLooks is the same for what is only worth a second look: many of those are
// there by chance.
const maxLooks = 6

const findingsJSON = "findings.json"

// Findings writes the findings as text that can be read aloud.
func Findings(t *Text, f *report.Findings) {
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
	opened(t, f)
	t.Blank()
	t.Item(headFlags(f, trend.Overpriced, "Clearly priced above what the contents predict"))
	t.Item(headFlags(f, trend.Bargain, "Clear bargains"))
	t.Item(headFlags(f, trend.OffTrend, "Clearly off another trend"))
	t.Item(headDrift(f.Drift))
	t.Item(problemCount(f.Problems))
}

func headFlags(f *report.Findings, kind trend.FlagKind, title string) string {
	var names []string
	named := map[string]bool{}
	look := 0
	for _, flag := range f.Flags {
		switch {
		case flag.Kind != kind:
		case !flag.AtLeastProbable():
			look++
		case !named[Name(flag.Maker, flag.Part)]:
			named[Name(flag.Maker, flag.Part)] = true
			name := Name(flag.Maker, flag.Part)
			if flag.Strength == trend.Probable {
				name += " (probable)"
			}
			names = append(names, name)
		}
	}
	if len(names) > maxListed {
		names = append(names[:maxListed:maxListed], fmt.Sprintf("%d more", len(names)-maxListed))
	}
	said := joined(names)
	if said == "" {
		said = "none"
	}
	if look == 0 {
		return fmt.Sprintf("%s: %s.", title, said)
	}
	return fmt.Sprintf("%s: %s (and %d worth a second look).", title, said, look)
}

func opened(t *Text, f *report.Findings) {
	t.Heading("What was opened")
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
	t.Heading("Priced above what the contents predict")
	priceFlags(t, f, trend.Overpriced, "a quarter above")
}

func bargains(t *Text, f *report.Findings) {
	t.Heading("Bargains: priced below what the contents predict")
	priceFlags(t, f, trend.Bargain, "a fifth below")
}

func priceFlags(t *Text, f *report.Findings, kind trend.FlagKind, side string) {
	line := priceLine(f.Trends)
	if line == nil || line.TooFew {
		t.Para("Too few to say: there is no line of price on media area; see what the data cannot say.")
		return
	}
	var clear, look []report.PriceFinding
	for _, p := range f.Prices {
		switch {
		case p.Flag.Kind != kind:
		case p.Flag.AtLeastProbable():
			clear = append(clear, p)
		default:
			look = append(look, p)
		}
	}
	say := func(p report.PriceFinding) {
		t.Item(flagSentence(p.Flag, f.Trends, f.Units))
		if s := contentsSentence(p, f.Units); s != "" {
			t.Detail(s + againstFlag(p))
		}
	}
	if len(clear) == 0 {
		t.Para(fmt.Sprintf("None is clear: among %s no price lies %s the line beyond what chance explains.", points(line, line.N), side))
	}
	listed(t, clear, maxListed, findingsJSON, say)
	if len(clear) > 0 && !(kind == trend.Bargain && hasClear(f, trend.Overpriced)) { // said once
		t.aboutClear()
	}
	if len(look) > 0 {
		t.Para(fmt.Sprintf("Worth a second look, outside their own range on this side (of %s about %s land there by chance):",
			points(line, line.N), expectedByChance(line.N, 0.025)))
		listed(t, look, maxLooks, findingsJSON, say)
	}
	onlyByContents(t, f, kind)
}

func hasClear(f *report.Findings, kind trend.FlagKind) bool {
	return slices.ContainsFunc(f.Prices, func(p report.PriceFinding) bool {
		return p.Flag.Kind == kind && p.Flag.AtLeastProbable()
	})
}

// priceLine is the trend that price flags are measured from.
func priceLine(trends []*trend.Trend) *trend.Trend {
	for _, t := range trends {
		if t.Response == "price" {
			return t
		}
	}
	return nil
}

// contentsSentence is the verdict on everything inside, beside the distance
// from the area line.
func contentsSentence(p report.PriceFinding, u dataset.Units) string {
	if !p.Judged {
		return ""
	}
	return "By everything measured inside it, " + verdictSentence(p.Judgement, u)
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
		case flag.AtLeastProbable():
			clear = append(clear, flag)
		default:
			look = append(look, flag)
		}
	}
	if len(clear) > 0 {
		t.Para(trendTitle(tr) + ":")
		listed(t, clear, maxListed, findingsJSON, func(flag trend.Flag) { t.Item(flagSentence(flag, f.Trends, f.Units)) })
		t.aboutClear()
	}
	if len(look) > 0 {
		t.Para(fmt.Sprintf("%s, worth a second look (of %s about %s land here by chance):", trendTitle(tr), points(tr, tr.N), expectedByChance(tr.N, 0.05)))
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
	aboutPrices = "\"Priced above what its contents predict\" compares a price with what lies inside. " +
		"It does not say why the price is what it is: testing, freight, shop and warranty are not in the can."
)

func caution(t *Text, sentences ...string) {
	t.Heading("The caution")
	for _, s := range sentences {
		t.Para(s)
	}
}
