package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/drift"
	"pleatstat/stats/latest"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// Told is one piece of news in words.
type Told struct {
	Kind     latest.Kind `json:"kind"`
	Text     string      `json:"text"`
	Evidence string      `json:"evidence" null:"zero"`
}

// LatestTitle says which openings are told.
func LatestTitle(l *latest.Latest) string {
	n := counted(len(l.Openings), "opening", "openings")
	switch {
	case l.Of != "":
		return "The latest: " + n + " of " + spoken(l.Of)
	case !l.Dated:
		return "The latest: " + n + ", the log has no dates"
	}
	return "The latest: " + n
}

// OpeningTitle names an opening.
func OpeningTitle(o latest.Opening) string {
	when := ""
	if o.Opened != "" {
		when = ", opened " + spoken(o.Opened)
	}
	return fmt.Sprintf("%s%s (%s)", Name(o.Maker, o.Part), when, line(o.Line))
}

// Latest writes what the newest openings showed.
func Latest(t *Text, l *latest.Latest, moneyOf float64, u dataset.Units) {
	t.Heading(LatestTitle(l))
	if s := moneySentence(moneyOf); s != "" {
		t.Para(s)
	}
	if l.NotTold > 0 {
		t.Para(notToldSentence(l))
	}
	for _, o := range l.Openings {
		t.Heading(OpeningTitle(o))
		for _, n := range NewsOf(o, l, u) {
			t.Para(n.Text)
			t.Evidence(n.Evidence)
		}
	}
	caution(t, aboutBuild)
}

func notToldSentence(l *latest.Latest) string {
	return fmt.Sprintf("The last row of the log, %s, is not of that date; --rows%s1 tells of it.", line(l.NotTold), nbsp)
}

// NewsOf is what is said of an opening, the most newsworthy first.
func NewsOf(o latest.Opening, l *latest.Latest, u dataset.Units) []Told {
	out := make([]Told, 0, len(o.News))
	for _, n := range o.News {
		t := Told{Kind: n.Kind}
		t.Text, t.Evidence = newsSaid(n, o, l, u)
		t.Text, t.Evidence = spaced(t.Text), spaced(t.Evidence)
		out = append(out, t)
	}
	return out
}

func newsSaid(n latest.News, o latest.Opening, l *latest.Latest, u dataset.Units) (said, evidence string) {
	switch n.Kind {
	case latest.Price:
		return VerdictSentence(o.Verdict, u), VerdictEvidence(o.Verdict, u)
	case latest.Another:
		return anotherNow(*n.Another, u), "medians; openings of one part differ by a few per cent"
	case latest.Earlier:
		return differsSentence(n, o, u), differsEvidence(n)
	case latest.Steady:
		return steadySentence(n, o), ""
	case latest.Reworded:
		return rewordedSentence(n, o), ""
	case latest.FirstOf:
		return firstSentence(o, l) + has(o, u), ""
	case latest.OffTrend:
		return offTrendSaid(*n.OffTrend, u)
	case latest.Place:
		return placeSaid(*n.Place, u)
	case latest.Change:
		part := o.Part
		if slices.ContainsFunc(o.News, func(n latest.News) bool { return n.Kind == latest.Another }) {
			part = "" // it is no example of a change of the filter that it was
		}
		said, others, evidence := changeForPart(n.Changes, part, u)
		return strings.TrimSpace(said + " " + others), evidence
	case latest.Slip:
		if n.Slip != nil {
			return slipSentence(*n.Slip), n.Slip.Why
		}
		return sentence(fmt.Sprintf("line %d, %s: %s", n.Doubt.Line, dataset.Words(n.Doubt.Name), n.Doubt.Message)), ""
	case latest.Missing:
		return missingSentence(n), ""
	}
	return "", ""
}

// anotherNow says that an opening is not the filter that the earlier ones were.
func anotherNow(a card.Another, u dataset.Units) string {
	if len(a.Moved) == 0 {
		return "It is not the same filter any more."
	}
	first := a.Moved[0]
	if i := slices.IndexFunc(a.Moved, func(m card.Differed) bool { return m.Measure == "pleats" }); i >= 0 {
		first = a.Moved[i]
	}
	var rest []string
	for _, m := range a.Moved {
		if m.Measure != first.Measure {
			rest = append(rest, dataset.Words(m.Measure))
		}
	}
	before := "the opening before had"
	if a.Before > 1 {
		before = "the " + spelt(a.Before) + " before had"
	}
	return fmt.Sprintf("It is not the same filter any more: %s, where %s %s; %s moved with it.",
		owned(first.Measure, value(u, first.Measure, first.After)), before, value(u, first.Measure, first.Before), joined(rest))
}

// value is a quantity, whole things whole.
func value(u dataset.Units, column string, base float64) string {
	return wholeThings(column, quantity(u, column, wholeOf(column, base)))
}

// differsSentence says what differs from the earlier openings.
func differsSentence(n latest.News, o latest.Opening, u dataset.Units) string {
	const most = 3
	var said []string
	for _, m := range n.Moved[:min(len(n.Moved), most)] {
		said = append(said, movedSaid(m, o, u))
	}
	if more := len(n.Moved) - most; more > 0 {
		said = append(said, counted(more, "measure more", "measures more"))
	}
	how := "It differs from its earlier openings: "
	if n.Grade != trend.Clear {
		how = "A hint only, it differs from its earlier openings: "
	}
	return how + strings.Join(said, "; ") + "."
}

// movedSaid is a measure now and before; a price beside the market's.
func movedSaid(m card.Moved, o latest.Opening, u dataset.Units) string {
	then := thenSaid(m.Since, o)
	if m.Measure == "price" && m.Market != 1 {
		return fmt.Sprintf("its price went from %s %s to %s, %s, the market's prices %s", quantity(u, m.Measure, m.Before), then, quantity(u, m.Measure, m.Now),
			wentBy(m.Now/m.Before-1), wentBy(m.Market-1))
	}
	return fmt.Sprintf("%s %s, %s %s", dataset.Words(m.Measure), value(u, m.Measure, m.Now), then, value(u, m.Measure, m.Before))
}

// thenSaid is when an earlier opening was, seen from one.
func thenSaid(year int, o latest.Opening) string {
	if o.Opened == "" || strings.HasPrefix(o.Opened, fmt.Sprint(year)) {
		return "before"
	}
	return fmt.Sprintf("in %d", year)
}

// wentBy is a share as it is said: "up 5 %".
func wentBy(share float64) string {
	switch p := percent(math.Abs(share)); {
	case p == percent(0):
		return "unchanged"
	case share < 0:
		return "down " + p
	default:
		return "up " + p
	}
}

func differsEvidence(n latest.News) string {
	return counted(n.Compared, "measure compared", "measures compared")
}

// rewordedSentence names what is recorded otherwise than before.
func rewordedSentence(n latest.News, o latest.Opening) string {
	const most = 2
	var said []string
	for _, w := range n.Words[:min(len(n.Words), most)] {
		said = append(said, fmt.Sprintf("its %s as %s, %s as %s", dataset.Words(w.Measure), short(w.Now), thenSaid(w.Since, o), short(w.Before)))
	}
	return "Recorded otherwise than before: " + strings.Join(said, "; ") + "."
}

func steadySentence(n latest.News, o latest.Opening) string {
	before := "its earlier opening"
	if o.Before > 1 {
		before = "its " + spelt(o.Before) + " earlier openings"
	}
	if n.Compared == 0 {
		return "It can't be compared with " + before + " yet: how much openings of one part differ is not known from so few."
	}
	return fmt.Sprintf("It is as %s: of %s none differs by more than openings of one part do.", strings.Replace(before, "its ", "in its ", 1),
		counted(n.Compared, "measure compared", "measures compared"))
}

func firstSentence(o latest.Opening, l *latest.Latest) string {
	switch o.First {
	case latest.OfLog:
		return "It is the first opening of the log, so there is nothing yet to compare it with."
	case latest.OfMaker:
		return "It is the first " + short(o.Maker) + " opened here."
	}
	return fmt.Sprintf("It is the first opening of this part, one of %s in the log.", counted(l.Products, "part", "parts"))
}

// has says what was measured of an opening.
func has(o latest.Opening, u dataset.Units) string {
	var said []string
	for k, column := range o.Measures {
		said = append(said, owned(column, value(u, column, o.Values[k])))
	}
	if said == nil {
		return ""
	}
	return " It has " + joined(said) + "."
}

// placeSaid is a place near either end of a ranking.
func placeSaid(p card.Place, u dataset.Units) (said, evidence string) {
	w := wordsOfRanking(p.Ranking)
	what, rank := w.first, p.Rank
	if 2*p.Rank > p.Of {
		what, rank = lastWords(p.Ranking, w), p.Of+1-p.Rank
	}
	ordinals := [...]string{"", "", "second ", "third "}
	if rank < len(ordinals) {
		what = "the " + ordinals[rank] + strings.TrimPrefix(what, "the ")
	}
	said = fmt.Sprintf("It has %s of all %d parts.", what, p.Of)
	if p.Thread != "" {
		said = fmt.Sprintf("Of the %d parts with %s it has %s.", p.Of, shownThread(p.Thread), what)
	}
	evidence = "place " + fmt.Sprint(p.Rank)
	if p.Low > 0 && p.Low != p.High {
		evidence = fmt.Sprintf("place %d; places %d to %d are open", p.Rank, p.Low, p.High)
	}
	if p.Measure != "" && p.Ranking != roundup.BestValue { // what it costs was said
		evidence = quantity(u, p.Measure, p.Value) + "; " + evidence
	}
	return said, evidence + "; " + counted(p.N, "opening", "openings")
}

// lastWords are what the last of a ranking has.
func lastWords(ranking string, w rankingWords) string {
	if ranking == roundup.MassForSize {
		return "the least mass for its size"
	}
	return w.last
}

// changeForPart tells the change of a maker by the readings of one part; came is
// what came with it, "" for nothing.
func changeForPart(all []drift.Entry, part string, u dataset.Units) (said, came, evidence string) {
	groups := togetherBy(all[0].Maker, all)
	if len(groups) == 0 {
		return "", "", ""
	}
	first := groups[0][0]
	setExample(&first, part)
	if rest := groups[0][1:]; len(rest) > 0 {
		came = others(first, rest, nil)
	}
	return changeSentence(first, u, true), came, changeEvidence(first, u)
}

// setExample makes one part the example of a change, by its last reading before it,
// or its first one, and its last; where it has none the example stays.
func setExample(c *drift.Entry, part string) {
	from := math.Inf(-1)
	if !c.Told.From.IsZero() {
		from = drift.Year(c.Told.From)
	}
	var then, now *drift.Observation
	for i := range c.Points {
		p := &c.Points[i]
		if p.Part != part {
			continue
		}
		if then == nil || p.Year < from {
			then = p
		}
		now = p
	}
	if then == nil || then == now || c.Relative {
		return
	}
	reading := func(o drift.Observation) drift.Reading {
		return drift.Reading{When: o.When, Value: o.Value, N: 1, Lines: []int{o.Line}}
	}
	c.Told.Example, c.Told.Then, c.Told.Now = part, reading(*then), reading(*now)
}

func missingSentence(n latest.News) string {
	names := joined(columnNames(n.Missing))
	what := "Not measured: " + names
	switch n.Why {
	case latest.WhyPrice:
		return "Not recorded, and needed to judge its price: " + names + "."
	case latest.WhyChange:
		return what + ", which would have told whether its maker's change goes on."
	case latest.WhyEarlier:
		return what + ", which its other openings have."
	}
	return what + ", which would have told most."
}
