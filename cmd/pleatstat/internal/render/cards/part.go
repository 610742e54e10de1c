// Package cards puts stats/card and stats/latest into words: all there is to report of
// one part, of one maker and of the newest openings.
package cards

import (
	"fmt"
	"math"
	"slices"
	"strconv"
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
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Part writes all there is to report of one part.
func Part(t *wording.Text, c *card.Part, u dataset.Units) {
	name := wording.Name(c.Maker, c.Part)
	t.Heading(name + ": " + cardGrade(c.Verdict))
	prices.Verdict(t, c.Verdict, u)
	if withoutPrice := c.Judgement.Verdict; math.IsNaN(c.Verdict.Fair) && !math.IsNaN(withoutPrice.Fair) {
		t.Para("For what is inside it would usually cost about " + wording.Money(u, withoutPrice.Fair) + ".")
		t.Evidence("usual " + wording.Money(u, withoutPrice.Low) + " to " + wording.Money(u, withoutPrice.High))
	}
	if !math.IsNaN(c.Judgement.Fair) {
		prices.JudgementMoney(t, c.Judgement)
	}
	cardNews(t, c, u)
	cardOpenings(t, c, u)
	prices.Contributions(t, c.Judgement, u)
	prices.ByArea(t, c.Judgement, u)
	cardPlaces(t, c, u)
	prices.Comparables(t, c.Judgement, u)
	sameMount(t, c.Mount, u)
	if !math.IsNaN(c.Verdict.Fair) {
		prices.JudgementNotes(t, c.Judgement)
	}
	wording.PriceCaution(t)
}

// cardGrade returns the grade for the heading.
func cardGrade(v price.Verdict) string {
	if v.Grade == trend.CannotSay {
		return "its price can't be judged"
	}
	return prices.GradeWords(v)
}

// cardNews writes the changes of a part, the trends it lies off and its likely slips.
func cardNews(t *wording.Text, c *card.Part, u dataset.Units) {
	var slips []string
	for _, s := range c.Slips {
		slips = append(slips, logs.SlipSentence(s))
	}
	if c.Another == nil && len(c.Changes)+len(c.OffTrend)+len(slips) == 0 {
		return
	}
	t.Heading("What to know of it")
	if c.Another != nil {
		t.Para(anotherSentence(*c.Another, u))
		t.Evidence(fmt.Sprintf("line %d; %s before", c.Another.Line, wording.Counted(c.Another.Before, "opening", "openings")))
	}
	for _, together := range changes.TogetherBy(c.Maker, c.Changes) {
		changes.WriteChange(t, together[0], together[1:], c.Changes, u)
	}
	if len(c.Changes) > 0 {
		t.Para(wording.AboutChange)
	}
	for _, f := range c.OffTrend {
		sentence, evidence := trends.FlagForPart(f, u)
		t.Para(sentence)
		t.Evidence(evidence)
	}
	for _, s := range slips {
		t.Para(s)
	}
}

// anotherSentence states that a part is no longer the same filter.
func anotherSentence(a card.AnotherFilter, u dataset.Units) string {
	var moved []string
	for _, m := range a.Moved[:min(len(a.Moved), 2)] {
		moved = append(moved, catalogue.Words(m.Measure)+" "+wording.WholeThings(m.Measure, wording.Quantity(u, m.Measure, m.Before))+" before, "+
			wording.WholeThings(m.Measure, wording.Quantity(u, m.Measure, m.After))+" since")
	}
	rest := ""
	if len(a.Moved) > 2 {
		var names []string
		for _, m := range a.Moved[2:] {
			names = append(names, catalogue.Words(m.Measure))
		}
		rest = "; " + wording.Joined(names) + " moved with them"
	}
	when, is := "From the opening on line "+strconv.Itoa(a.Line), "it is not the same filter any more"
	if a.Opened != "" {
		when = "Since " + wording.SpokenMonth(a.Opened)
	}
	if a.Alone {
		when, is = "At one opening, on line "+strconv.Itoa(a.Line)+",", "it was another filter under the same number"
	}
	return when + " " + is + ": " + strings.Join(moved, "; ") + rest + "."
}

// cardOpenings writes the table of openings.
func cardOpenings(t *wording.Text, c *card.Part, u dataset.Units) {
	if len(c.Openings) == 0 {
		return
	}
	t.Heading(wording.UpperFirst(wording.Counted(len(c.Openings), "opening", "openings")))
	const width = 11
	row := func(opened, line, paid, now string, cells []string) {
		text := wording.Pad(opened, 10) + wording.PadLeft(line, 6) + wording.PadLeft(paid, 8) + wording.PadLeft(now, 8)
		for _, cell := range cells {
			text += wording.PadLeft(cell, width)
		}
		t.Line(text)
	}
	var heads, units []string
	for _, m := range c.Measures {
		heads, units = append(heads, catalogue.Words(m)), append(units, u.Of(m).Symbol)
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
			cells = append(cells, wording.WholeThings(m, wording.Bare(o.Values[k], u.Of(m))))
		}
		row(opened, strconv.Itoa(o.Line), u.Format("price", o.Paid), now, cells)
		t.Evidence(movedWords(o.Moved, u))
	}
	if moneyNow && c.Verdict.MoneyOf != "" {
		t.Para("Now: the price in the money of " + wording.Spoken(c.Verdict.MoneyOf) + ".")
	}
}

// movedWords states what changed at an opening.
func movedWords(all []card.Moved, u dataset.Units) string {
	var phrases []string
	for _, m := range all {
		phrases = append(phrases, catalogue.Words(m.Measure)+" "+wording.WholeThings(m.Measure, wording.Quantity(u, m.Measure, m.Before))+" before")
	}
	return strings.Join(phrases, "; ")
}

// cardPlaces writes the places of a part in the rankings.
func cardPlaces(t *wording.Text, c *card.Part, u dataset.Units) {
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
	row := func(what, a, b string) {
		t.Line("  " + wording.Pad(what, 32) + wording.PadLeft(a, 18) + wording.PadLeft(b, 18))
	}
	if thread != "" {
		row("", "of all", "with "+wording.Clip(shownThread(thread), 12))
	} else {
		row("", "of all", "")
	}
	for _, id := range ids {
		row(strings.TrimPrefix(programme.WordsOfRanking(id).First, "the "), placeShown(all[id]), placeShown(own[id]))
	}
	t.Para("In brackets the places that are open, as openings of one part differ.")
}

// placeShown returns a place: "3 of 60 (2–6)".
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

// shownThread returns a thread in its plainest spelling.
func shownThread(thread string) string {
	if t, ok := dataset.ParseThread(thread); ok {
		return t.String()
	}
	return wording.Short(thread)
}
