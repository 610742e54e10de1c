// Package prices puts the results of stats/price into words: the verdict on one part
// and what it rests on, and the ranking of all parts.
package prices

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Part writes the verdict on one part and what it rests on.
func Part(t *wording.Text, j price.Judgement, u dataset.Units) {
	say := func(v float64) string { return wording.Quantity(u, "price", v) }
	name := wording.Name(j.Maker, j.Part)
	if name == "" {
		name = "A part with these contents"
	}
	t.Heading(name + ": " + GradeWords(j.Verdict))
	Verdict(t, j.Verdict, u)
	if math.IsNaN(j.Fair) {
		return
	}
	if !math.IsNaN(j.Ratio) {
		s := shareSentence(j)
		if j.Rank > 0 {
			s += fmt.Sprintf(" Of %s it is number %d, the dearest for its contents first.", wording.Counted(j.Of, "part", "parts"), j.Rank)
		}
		t.Para(s)
	}
	t.Evidence(fmt.Sprintf("of parts with these contents 4 of 5 cost %s to %s, 19 of 20 %s to %s; the usual price itself is known to lie between %s and %s",
		say(j.Low80), say(j.High80), say(j.Low), say(j.High), say(j.UsualLow), say(j.UsualHigh)))
	JudgementMoney(t, j)
	Contributions(t, j, u)
	ByArea(t, j, u)
	Comparables(t, j, u)
	JudgementNotes(t, j)
}

// JudgementMoney writes the date of the money that the prices of a judgement are in, if
// prices were carried to one date.
func JudgementMoney(t *wording.Text, j price.Judgement) {
	if j.MoneyOf != "" {
		t.Para("All prices are in the money of " + wording.Spoken(j.MoneyOf) + ".")
	}
}

// JudgementNotes writes the warnings about one judgement.
func JudgementNotes(t *wording.Text, j price.Judgement) {
	if len(j.Warnings) == 0 {
		return
	}
	t.Heading("Notes")
	for _, w := range j.Warnings {
		t.Item(wording.Sentence(w))
	}
}

// GradeWords returns a verdict's grade for a heading or a table.
func GradeWords(v price.Verdict) string {
	switch surely := GradeAdverb(v.Grade); {
	case surely != "":
		return surely + v.Direction + " what its contents usually cost"
	case v.Grade == trend.AsExpected:
		return "about what its contents usually cost"
	case !math.IsNaN(v.Fair):
		return "what it would usually cost"
	}
	return "can't say"
}

// GradeAdverb returns how sure a verdict off the usual price is, to come before its
// direction; "" for other grades.
func GradeAdverb(g trend.Grade) string {
	return map[trend.Grade]string{trend.Clear: "clearly ", trend.Probable: "probably ", trend.Hint: "a hint "}[g]
}

// shareSentence states how many parts with the same contents would cost more, or less.
func shareSentence(j price.Judgement) string {
	share, more := j.ShareBelow, "more"
	if j.Direction == price.Above {
		share = 1 - share
	} else {
		more = "less"
	}
	switch {
	case share < 0.01:
		return "Of parts with these contents fewer than one in a hundred would cost " + more + "."
	case share < 0.095:
		return fmt.Sprintf("Of a hundred parts with these contents about %s would cost %s.", wording.Fixed(100*share, 0), more)
	}
	return fmt.Sprintf("Of ten parts with these contents about %s would cost %s.", wording.Fixed(10*share, 0), more)
}

// Contributions writes how the usual price is made up: the base times every factor.
func Contributions(t *wording.Text, j price.Judgement, u dataset.Units) {
	if len(j.Contributions) == 0 {
		return
	}
	t.Heading("How the usual price comes about")
	row := func(what, effect, sum string) {
		t.Line("  " + wording.Pad(wording.Clip(what, 40), 40) + wording.PadLeft(effect, 12) + wording.PadLeft(sum, 12))
	}
	running := j.Base
	row("an average part, latest prices", "", wording.Quantity(u, "price", running))
	for _, c := range j.Contributions {
		running *= c.Factor
		row(contentWords(c, u), effect(c.Factor), wording.Quantity(u, "price", running))
	}
}

// contentWords returns a content and its value: "media area: 61.2 in²".
func contentWords(c price.Contribution, u dataset.Units) string {
	value := c.Value
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		value = wording.Quantity(u, c.Content, v)
	}
	return catalogue.Words(c.Content) + ": " + value
}

// effect returns the change that a content makes to the price, in per cent.
func effect(factor float64) string {
	change := math.Round(1000*(factor-1)) / 10
	if !(math.Abs(change) > 0) {
		return "no change"
	}
	return wording.Signed(change, wording.Fixed(math.Abs(change), 1)+" %")
}

// ByArea writes what a part would cost by its media area alone.
func ByArea(t *wording.Text, j price.Judgement, u dataset.Units) {
	e := j.ByArea
	if math.IsNaN(e.Expected) {
		return
	}
	t.Heading("By media area alone")
	say := func(v float64) string { return wording.Quantity(u, "price", v) }
	t.Para(fmt.Sprintf("By its media area alone it would cost about %s.", wording.Money(u, e.Expected)))
	t.Evidence(fmt.Sprintf("%s; 19 of 20 parts of that area cost %s to %s", say(e.Expected), say(e.Low), say(e.High)))
}

// Ranking writes the ranking of all parts. warnings are those that concern all of them;
// most is written instead of the ranking if prices cannot be judged.
func Ranking(t *wording.Text, all []price.Judgement, warnings []string, most []price.ForMoney, u dataset.Units) {
	t.Heading("Prices against contents, the dearest for its contents first")
	if len(all) == 0 || all[0].Needed > 0 { // true of all, if of one
		t.Para(NotJudged(len(all)))
		MostMedia(t, most, u)
		t.Notes(warnings)
		wording.PriceCaution(t)
		return
	}
	row := func(rank, name, n, paid, fair, between, verdict string) {
		t.Line(wording.PadLeft(rank, 4) + "  " + wording.Pad(wording.Clip(name, 20), 20) + wording.PadLeft(n, 4) + wording.PadLeft(paid, 9) + wording.PadLeft(fair, 9) +
			wording.PadLeft(between, 14) + "  " + verdict)
	}
	row("", "part", "n", "price", "usual", "19 of 20", "grade")
	var why []string
	for _, j := range all {
		if j.Grade == trend.CannotSay {
			continue
		}
		say := func(v float64) string { return u.Format("price", v) }
		row(strconv.Itoa(j.Rank), wording.Name(j.Maker, j.Part), strconv.Itoa(j.N), say(j.Price), say(j.Fair), wording.Fixed(j.Low, 2)+"–"+wording.Fixed(j.High, 2), ShortGrade(j.Verdict))
		if j.Why != "" {
			why = append(why, wording.Name(j.Maker, j.Part)+" is "+j.Why)
		}
	}
	t.Blank()
	if s := all[0].MoneyOf; s != "" {
		t.Para("All prices are in the money of " + wording.Spoken(s) + ": the last price paid, brought up to then; n counts openings.")
	} else {
		t.Para("The price is the last one paid, n counts openings.")
	}
	t.Para("Of parts with the same contents 19 of 20 cost what the column says: of " + wording.Counted(len(all), "part", "parts") + " about " +
		wording.ExpectedByChance(len(all), (1-trend.Confidence)/2) + " would cost more than that by chance alone.")
	wording.Listed(t, why, wording.MaxListed, "the JSON (--json)", func(s string) { t.Item(wording.Ended(s)) })
	t.Notes(warnings)
	wording.PriceCaution(t)
}

// ShortGrade returns a grade with its side, for a table.
func ShortGrade(v price.Verdict) string {
	switch v.Grade {
	case trend.Clear, trend.Probable, trend.Hint:
		return string(v.Grade) + ", " + v.Direction
	}
	return string(v.Grade)
}

// aboutComparables comes once with any list of parts that are alike.
const aboutComparables = "Alike is not interchangeable: thread, gasket, bypass and drain-back valve must be those of the equipment's specification."

// Comparables writes the parts nearest by contents, each with its thread and valves, those
// with the part's own thread first.
func Comparables(t *wording.Text, j price.Judgement, u dataset.Units) {
	if len(j.Comparables) == 0 {
		return
	}
	t.Heading("The nearest by contents")
	if own := mountWords(j.Mount); own != "" {
		t.Para("Its own: " + own + ".")
	}
	same := false
	for _, c := range j.Comparables {
		item := wording.Name(c.Maker, c.Part) + ": " + wording.Quantity(u, "price", c.Price) + ", media area " + wording.Quantity(u, "media_area", c.MediaArea)
		if mount := mountWords(c.Mount); mount != "" {
			item += "; " + mount
		}
		t.Item(item + ".")
		same = same || c.SameThread
	}
	if !same && j.Mount.Thread != "" {
		t.Para("None of these has its thread.")
	}
	t.Para(aboutComparables)
}

// mountWords returns thread and valves as recorded, "" for nothing.
func mountWords(m price.Mount) string {
	var say []string
	for _, s := range []struct{ column, word string }{{"thread", m.Thread}, {"bypass", m.Bypass}, {"drain_back", m.DrainBack}} {
		if s.word != "" {
			say = append(say, catalogue.Words(s.column)+" "+wording.Short(s.word))
		}
	}
	return strings.Join(say, ", ")
}
