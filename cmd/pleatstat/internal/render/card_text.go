package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/check"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Card writes everything told of one part.
func Card(t *Text, c *card.Part, u dataset.Units) {
	name := Name(c.Maker, c.Part)
	t.Heading(name + ": " + cardGrade(c.Verdict))
	verdictTold(t, c.Verdict, u)
	if withoutPrice := c.Judgement.Verdict; math.IsNaN(c.Verdict.Fair) && !math.IsNaN(withoutPrice.Fair) {
		t.Para("For what is inside it would usually cost about " + spokenMoney(u, withoutPrice.Fair) + ".")
		t.Evidence("usual " + spokenMoney(u, withoutPrice.Low) + " to " + spokenMoney(u, withoutPrice.High))
	}
	if !math.IsNaN(c.Judgement.Fair) {
		judgementMoney(t, c.Judgement)
	}
	cardNews(t, c, u)
	cardOpenings(t, c, u)
	contributions(t, c.Judgement, u)
	areaOnly(t, c.Judgement, u)
	cardPlaces(t, c, u)
	comparables(t, c.Judgement, u)
	sameMount(t, c.Mount, u)
	if !math.IsNaN(c.Verdict.Fair) {
		judgementNotes(t, c.Judgement)
	}
	PriceCaution(t)
}

// cardGrade is the grade of a heading.
func cardGrade(v price.Verdict) string {
	if v.Grade == trend.CannotSay {
		return "its price can't be judged"
	}
	return gradeWords(v)
}

// cardNews are the changes of a part and what of it falls off a trend.
func cardNews(t *Text, c *card.Part, u dataset.Units) {
	var slips []string
	for _, s := range c.Slips {
		slips = append(slips, slipSentence(s))
	}
	if c.Another == nil && len(c.Changes)+len(c.OffTrend)+len(slips) == 0 {
		return
	}
	t.Heading("What to know of it")
	if c.Another != nil {
		t.Para(anotherSentence(*c.Another, u))
		t.Evidence(fmt.Sprintf("line %d; %s before", c.Another.Line, counted(c.Another.Before, "opening", "openings")))
	}
	for _, together := range togetherBy(c.Maker, c.Changes) {
		changeTold(t, together[0], together[1:], c.Changes, u)
	}
	if len(c.Changes) > 0 {
		t.Para(aboutChange)
	}
	for _, f := range c.OffTrend {
		said, evidence := offTrendSaid(f, u)
		t.Para(said)
		t.Evidence(evidence)
	}
	for _, s := range slips {
		t.Para(s)
	}
}

// anotherSentence says that a part is not the same filter any more.
func anotherSentence(a card.Another, u dataset.Units) string {
	var moved []string
	for _, m := range a.Moved[:min(len(a.Moved), 2)] {
		moved = append(moved, dataset.Words(m.Measure)+" "+wholeThings(m.Measure, quantity(u, m.Measure, m.Before))+" before, "+
			wholeThings(m.Measure, quantity(u, m.Measure, m.After))+" since")
	}
	rest := ""
	if len(a.Moved) > 2 {
		var names []string
		for _, m := range a.Moved[2:] {
			names = append(names, dataset.Words(m.Measure))
		}
		rest = "; " + joined(names) + " moved with them"
	}
	when, is := "From the opening on line "+strconv.Itoa(a.Line), "it is not the same filter any more"
	if a.Opened != "" {
		when = "Since " + spokenMonth(a.Opened)
	}
	if a.Alone {
		when, is = "At one opening, on line "+strconv.Itoa(a.Line)+",", "it was another filter under the same number"
	}
	return when + " " + is + ": " + strings.Join(moved, "; ") + rest + "."
}

// slipSentence says what a reading was probably meant to be.
func slipSentence(s check.Suggestion) string {
	return fmt.Sprintf("Line %d, %s: %s looks like a slip; probably %s was meant.", s.Line, dataset.Words(s.Name), quoted(s.Found), quoted(s.Intended))
}

// offTrendSaid says how far a part lies off what its size and make predict.
func offTrendSaid(f trend.Flag, u dataset.Units) (said, evidence string) {
	d := definitionOf(f.Trend)
	value := func(v float64) string { return value(u, d.Response, v) }
	sure := map[trend.Grade]string{trend.Clear: "It clearly has", trend.Probable: "It probably has", trend.Hint: "A hint only: it has"}[f.Grade]
	is, predicts := "is", "predicts"
	if counts(d.Response) {
		is = "are"
	}
	if counts(d.Predictor) {
		predicts = "predict"
	}
	said = fmt.Sprintf("%s %s %s than its %s %s: %s, where about %s %s usual.", sure, more(d.Response, f.Observed > f.Expected),
		dataset.Words(d.Response), dataset.Words(d.Predictor), predicts, value(f.Observed), value(f.Expected), is)
	if d.Response == "can_gauge" {
		thick := map[bool]string{true: "thicker", false: "thinner"}[f.Observed > f.Expected]
		said = strings.Replace(said, more(d.Response, f.Observed > f.Expected)+" can gauge than its "+dataset.Words(d.Predictor), "a "+thick+" can than its mass", 1)
	}
	said += ofSize(f, u)
	evidence = "usual " + value(f.Low) + " to " + value(f.High) + beyondEdge(value, f) + "; " + counted(f.N, "opening", "openings") + ", " + lines(f.Lines)
	return said, evidence
}

// definitionOf is the standard trend of an id.
func definitionOf(id string) trend.Definition {
	all := trend.Standard()
	if i := slices.IndexFunc(all, func(d trend.Definition) bool { return d.ID == id }); i >= 0 {
		return all[i]
	}
	return trend.Definition{}
}

// wholeOf rounds a number of whole things.
func wholeOf(column string, v float64) float64 {
	if counts(column) {
		return math.Round(v)
	}
	return v
}

// cardOpenings is the table of openings.
func cardOpenings(t *Text, c *card.Part, u dataset.Units) {
	if len(c.Openings) == 0 {
		return
	}
	t.Heading(capital(counted(len(c.Openings), "opening", "openings")))
	const width = 11
	row := func(opened, line, paid, now string, cells []string) {
		text := pad(opened, 10) + padLeft(line, 6) + padLeft(paid, 8) + padLeft(now, 8)
		for _, cell := range cells {
			text += padLeft(cell, width)
		}
		t.Line(text)
	}
	var heads, units []string
	for _, m := range c.Measures {
		heads, units = append(heads, dataset.Words(m)), append(units, u.Of(m).Symbol)
	}
	row("opened", "line", "paid", "now", heads)
	if strings.Join(units, "") != "" {
		row("", "", "", "", units)
	}
	moneyNow := false
	for _, o := range c.Openings {
		opened, now := o.Opened, "–"
		if opened == "" {
			opened = "no date"
		}
		if !math.IsNaN(o.Paid) {
			now = u.Format("price", o.Today)
			moneyNow = true
		}
		var cells []string
		for k, m := range c.Measures {
			cells = append(cells, wholeThings(m, bare(o.Values[k], u.Of(m))))
		}
		row(opened, strconv.Itoa(o.Line), u.Format("price", o.Paid), now, cells)
		if said := movedWords(o.Moved, u); said != "" {
			t.Evidence(said)
		}
	}
	if moneyNow && c.Verdict.MoneyOf != "" {
		t.Para("Now: the price in the money of " + spoken(c.Verdict.MoneyOf) + ".")
	}
}

// movedWords says what moved at an opening.
func movedWords(all []card.Moved, u dataset.Units) string {
	var said []string
	for _, m := range all {
		said = append(said, dataset.Words(m.Measure)+" "+wholeThings(m.Measure, quantity(u, m.Measure, m.Before))+" before")
	}
	return strings.Join(said, "; ")
}

// cardPlaces is where a part stands in the rankings.
func cardPlaces(t *Text, c *card.Part, u dataset.Units) {
	if len(c.Places) == 0 {
		return
	}
	t.Heading("Where it stands")
	thread := ""
	var ids []string
	all, own := map[string]card.Place{}, map[string]card.Place{}
	for _, p := range c.Places {
		if !slices.Contains(ids, p.Ranking) {
			ids = append(ids, p.Ranking)
		}
		if p.Thread == "" {
			all[p.Ranking] = p
		} else {
			own[p.Ranking], thread = p, p.Thread
		}
	}
	row := func(what, a, b string) { t.Line("  " + pad(what, 32) + padLeft(a, 18) + padLeft(b, 18)) }
	if thread != "" {
		row("", "of all", "with "+cutName(shownThread(thread), 12))
	} else {
		row("", "of all", "")
	}
	for _, id := range ids {
		row(strings.TrimPrefix(wordsOfRanking(id).first, "the "), placeShown(all[id]), placeShown(own[id]))
	}
	t.Para("In brackets the places that are open, as openings of one part differ.")
}

// placeShown is "3 of 60 (2–6)".
func placeShown(p card.Place) string {
	if p.Of == 0 {
		return ""
	}
	text := fmt.Sprintf("%d of %d", p.Rank, p.Of)
	if p.Low > 0 {
		text += fmt.Sprintf(" (%d–%d)", p.Low, p.High)
	}
	return text
}

// shownThread is a thread as it is written most plainly.
func shownThread(thread string) string {
	if t, ok := dataset.ParseThread(thread); ok {
		return t.String()
	}
	return short(thread)
}
