package cards

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/programme"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/card"
	"pleatstat/stats/latest"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// newsText is one piece of news in words.
type newsText struct {
	Kind     latest.Kind `json:"kind"`
	Text     string      `json:"text"`
	Evidence string      `json:"evidence" null:"zero"`
}

// latestTitle states which openings are reported.
func latestTitle(l *latest.Latest) string {
	n := wording.Counted(len(l.Openings), "opening", "openings")
	switch {
	case l.Of != "":
		return "The latest: " + n + " of " + wording.Spoken(l.Of)
	case !l.Dated:
		return "The latest: " + n + ", the log has no dates"
	}
	return "The latest: " + n
}

// openingTitle names an opening.
func openingTitle(o latest.Opening) string {
	when := ""
	if o.Opened != "" {
		when = ", opened " + wording.Spoken(o.Opened)
	}
	return fmt.Sprintf("%s%s (%s)", wording.Name(o.Maker, o.Part), when, wording.Line(o.Line))
}

// Latest writes what the newest openings showed.
func Latest(t *wording.Text, l *latest.Latest, moneyOf float64, u dataset.Units) {
	t.Heading(latestTitle(l))
	t.Para(prices.MoneySentence(moneyOf))
	if l.OmittedLine > 0 {
		t.Para(fmt.Sprintf("The last row of the log, %s, is not of that date; --rows%s1 tells of it.", wording.Line(l.OmittedLine), wording.NBSP))
	}
	for _, o := range l.Openings {
		t.Heading(openingTitle(o))
		for _, n := range newsOf(o, l, u) {
			t.Para(n.Text)
			t.Evidence(n.Evidence)
		}
	}
	wording.Caution(t, wording.AboutBuild)
}

// newsOf returns the news of an opening in words, the most newsworthy first.
func newsOf(o latest.Opening, l *latest.Latest, u dataset.Units) []newsText {
	out := make([]newsText, 0, len(o.News))
	for _, n := range o.News {
		t := newsText{Kind: n.Kind}
		t.Text, t.Evidence = newsSentence(n, o, l, u)
		t.Text, t.Evidence = wording.Spaced(t.Text), wording.Spaced(t.Evidence)
		out = append(out, t)
	}
	return out
}

func newsSentence(n latest.News, o latest.Opening, l *latest.Latest, u dataset.Units) (sentence, evidence string) {
	switch n.Kind {
	case latest.Price:
		return prices.Sentence(o.Verdict, u), prices.Evidence(o.Verdict, u)
	case latest.Another:
		return anotherNow(*n.Another, u), "medians; openings of one part differ by a few per cent"
	case latest.Earlier:
		return differsSentence(n, o, u), wording.Counted(n.Compared, "measure compared", "measures compared")
	case latest.Steady:
		return steadySentence(n, o), ""
	case latest.Reworded:
		return rewordedSentence(n, o), ""
	case latest.FirstOf:
		return firstSentence(o, l) + has(o, u), ""
	case latest.OffTrend:
		return trends.FlagForPart(*n.OffTrend, u)
	case latest.Place:
		return placeSentence(*n.Place, u)
	case latest.Change:
		part := o.Part
		if slices.ContainsFunc(o.News, func(n latest.News) bool { return n.Kind == latest.Another }) {
			part = "" // now another filter, so no example of a change of the old one
		}
		sentence, others, evidence := changes.ForPart(n.Changes, part, u)
		return strings.TrimSpace(sentence + " " + others), evidence
	case latest.Slip:
		if n.Slip != nil {
			return logs.SlipSentence(*n.Slip), n.Slip.Why
		}
		return wording.Sentence(fmt.Sprintf("line %d, %s: %s", n.Doubt.Line, catalogue.Words(n.Doubt.Name), n.Doubt.Message)), ""
	case latest.Missing:
		return missingSentence(n), ""
	}
	return "", ""
}

// anotherNow states that an opening is not the filter that the earlier ones were.
func anotherNow(a card.AnotherFilter, u dataset.Units) string {
	if len(a.Moved) == 0 {
		return "It is not the same filter any more."
	}
	first := a.Moved[0]
	if i := slices.IndexFunc(a.Moved, func(m card.ChangedMeasure) bool { return m.Measure == "pleats" }); i >= 0 {
		first = a.Moved[i]
	}
	var rest []string
	for _, m := range a.Moved {
		if m.Measure != first.Measure {
			rest = append(rest, catalogue.Words(m.Measure))
		}
	}
	before := "the opening before had"
	if a.Before > 1 {
		before = "the " + wording.Spelt(a.Before) + " before had"
	}
	return fmt.Sprintf("It is not the same filter any more: %s, where %s %s; %s moved with it.",
		wording.Owned(first.Measure, wording.Value(u, first.Measure, first.After)), before, wording.Value(u, first.Measure, first.Before), wording.Joined(rest))
}

// differsSentence states what differs from the earlier openings.
func differsSentence(n latest.News, o latest.Opening, u dataset.Units) string {
	const most = 3
	var phrases []string
	for _, m := range n.Moved[:min(len(n.Moved), most)] {
		phrases = append(phrases, movedInWords(m, o, u))
	}
	if more := len(n.Moved) - most; more > 0 {
		phrases = append(phrases, wording.Counted(more, "measure more", "measures more"))
	}
	how := "It differs from its earlier openings: "
	if n.Grade != trend.Clear {
		how = "A hint only, it differs from its earlier openings: "
	}
	return how + strings.Join(phrases, "; ") + "."
}

// movedInWords puts a measure now and before into words; a price beside the market's prices.
func movedInWords(m card.Moved, o latest.Opening, u dataset.Units) string {
	then := thenInWords(m.Since, o)
	if m.Measure == "price" && m.Market != 1 {
		return fmt.Sprintf("its price went from %s %s to %s, %s, the market's prices %s", wording.Quantity(u, m.Measure, m.Before), then, wording.Quantity(u, m.Measure, m.Now),
			wentBy(m.Now/m.Before-1), wentBy(m.Market-1))
	}
	return fmt.Sprintf("%s %s, %s %s", catalogue.Words(m.Measure), wording.Value(u, m.Measure, m.Now), then, wording.Value(u, m.Measure, m.Before))
}

// thenInWords returns when an earlier opening was, seen from o: "before" within the same
// year, otherwise the year.
func thenInWords(year int, o latest.Opening) string {
	if o.Opened == "" || strings.HasPrefix(o.Opened, fmt.Sprint(year)) {
		return "before"
	}
	return fmt.Sprintf("in %d", year)
}

// wentBy puts a relative change into words: "up 5 %".
func wentBy(share float64) string {
	switch p := wording.Percent(math.Abs(share)); {
	case p == wording.Percent(0):
		return "unchanged"
	case share < 0:
		return "down " + p
	default:
		return "up " + p
	}
}

// rewordedSentence names what is recorded otherwise than before.
func rewordedSentence(n latest.News, o latest.Opening) string {
	const most = 2
	var phrases []string
	for _, w := range n.Words[:min(len(n.Words), most)] {
		phrases = append(phrases, fmt.Sprintf("its %s as %s, %s as %s", catalogue.Words(w.Measure), wording.Short(w.Now), thenInWords(w.Since, o), wording.Short(w.Before)))
	}
	return "Recorded otherwise than before: " + strings.Join(phrases, "; ") + "."
}

func steadySentence(n latest.News, o latest.Opening) string {
	before := "its earlier opening"
	if o.Before > 1 {
		before = "its " + wording.Spelt(o.Before) + " earlier openings"
	}
	if n.Compared == 0 {
		return "It can't be compared with " + before + " yet: how much openings of one part differ is not known from so few."
	}
	return fmt.Sprintf("It is as %s: of %s none differs by more than openings of one part do.", strings.Replace(before, "its ", "in its ", 1),
		wording.Counted(n.Compared, "measure compared", "measures compared"))
}

func firstSentence(o latest.Opening, l *latest.Latest) string {
	switch o.First {
	case latest.OfLog:
		return "It is the first opening of the log, so there is nothing yet to compare it with."
	case latest.OfMaker:
		return "It is the first " + wording.Short(o.Maker) + " opened here."
	}
	return fmt.Sprintf("It is the first opening of this part, one of %s in the log.", wording.Counted(l.Products, "part", "parts"))
}

// has states what was measured of an opening.
func has(o latest.Opening, u dataset.Units) string {
	var phrases []string
	for k, column := range o.Measures {
		phrases = append(phrases, wording.Owned(column, wording.Value(u, column, o.Values[k])))
	}
	if phrases == nil {
		return ""
	}
	return " It has " + wording.Joined(phrases) + "."
}

// placeSentence puts a place near either end of a ranking into words.
func placeSentence(p card.Place, u dataset.Units) (sentence, evidence string) {
	w := programme.WordsOfRanking(p.Ranking)
	what, rank := w.First, p.Rank
	if 2*p.Rank > p.Of {
		what, rank = w.Last, p.Of+1-p.Rank
	}
	ordinals := [...]string{"", "", "second ", "third "}
	if rank < len(ordinals) {
		what = "the " + ordinals[rank] + strings.TrimPrefix(what, "the ")
	}
	sentence = fmt.Sprintf("It has %s of all %d parts.", what, p.Of)
	if p.Thread != "" {
		sentence = fmt.Sprintf("Of the %d parts with %s it has %s.", p.Of, shownThread(p.Thread), what)
	}
	evidence = "place " + fmt.Sprint(p.Rank)
	if p.Low > 0 && p.Low != p.High {
		evidence = fmt.Sprintf("place %d; places %d to %d are open", p.Rank, p.Low, p.High)
	}
	if p.Measure != "" && p.Ranking != roundup.BestValue { // the price has been stated
		evidence = wording.Quantity(u, p.Measure, p.Value) + "; " + evidence
	}
	return sentence, evidence + "; " + wording.Counted(p.N, "opening", "openings")
}

func missingSentence(n latest.News) string {
	names := wording.Joined(wording.ColumnNames(n.Missing))
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
