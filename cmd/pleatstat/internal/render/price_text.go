package render

import (
	"fmt"
	"math"
	"strconv"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Price writes the verdict on one part: what is said of it everywhere, and here
// what it rests on.
func Price(t *Text, j price.Judgement, u dataset.Units) {
	say := func(v float64) string { return quantity(u, "price", v) }
	name := Name(j.Maker, j.Part)
	if name == "" {
		name = "A part with these contents"
	}
	t.Heading(name + ": " + gradeWords(j.Verdict))
	verdictTold(t, j.Verdict, u)
	if math.IsNaN(j.Fair) {
		return
	}
	if !math.IsNaN(j.Ratio) {
		s := shareSentence(j)
		if j.Rank > 0 {
			s += fmt.Sprintf(" Of %s it is number %d, the dearest for its contents first.", counted(j.Of, "part", "parts"), j.Rank)
		}
		t.Para(s)
	}
	t.Evidence(fmt.Sprintf("of parts with these contents 4 of 5 cost %s to %s, 19 of 20 %s to %s; the usual price itself is known to lie between %s and %s",
		say(j.Low80), say(j.High80), say(j.Low), say(j.High), say(j.UsualLow), say(j.UsualHigh)))
	judgementMoney(t, j)
	contributions(t, j, u)
	areaOnly(t, j, u)
	comparables(t, j, u)
	judgementNotes(t, j)
}

// judgementMoney says which money the prices of a judgement are in, where there is
// more than one.
func judgementMoney(t *Text, j price.Judgement) {
	if j.MoneyOf != "" {
		t.Para("All prices are in the money of " + spoken(j.MoneyOf) + ".")
	}
}

func judgementNotes(t *Text, j price.Judgement) {
	if len(j.Warnings) == 0 {
		return
	}
	t.Heading("Notes")
	for _, w := range j.Warnings {
		t.Item(sentence(w))
	}
}

// gradeWords are a verdict's for a heading or a table.
func gradeWords(v price.Verdict) string {
	switch surely := surelyWord(v.Grade); {
	case surely != "":
		return surely + v.Direction + " what its contents usually cost"
	case v.Grade == trend.AsExpected:
		return "about what its contents usually cost"
	case !math.IsNaN(v.Fair):
		return "what it would usually cost"
	}
	return "can't say"
}

// surelyWord says how sure a verdict off the usual is, before its direction; "" for
// another.
func surelyWord(g trend.Grade) string {
	return map[trend.Grade]string{trend.Clear: "clearly ", trend.Probable: "probably ", trend.Hint: "a hint "}[g]
}

// shareSentence says how many parts with the same contents would cost as much, or
// as little.
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
		return fmt.Sprintf("Of a hundred parts with these contents about %s would cost %s.", fixed(100*share, 0), more)
	}
	return fmt.Sprintf("Of ten parts with these contents about %s would cost %s.", fixed(10*share, 0), more)
}

// PriceCaution ends what is said about prices.
func PriceCaution(t *Text) { caution(t, aboutBuild, aboutPrices, aboutFit) }

// contributions shows how the usual price comes about: base times every factor.
func contributions(t *Text, j price.Judgement, u dataset.Units) {
	if len(j.Contributions) == 0 {
		return
	}
	t.Heading("How the usual price comes about")
	row := func(what, effect, sum string) {
		t.Line("  " + pad(cutName(what, 40), 40) + padLeft(effect, 12) + padLeft(sum, 12))
	}
	running := j.Base
	row("an average part, latest prices", "", quantity(u, "price", running))
	for _, c := range j.Contributions {
		running *= c.Factor
		row(contentWords(c, u), effect(c.Factor), quantity(u, "price", running))
	}
}

// contentWords names a content and its value: "media area 61.2 in²".
func contentWords(c price.Contribution, u dataset.Units) string {
	value := c.Value
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		value = quantity(u, c.Content, v)
	}
	return dataset.Words(c.Content) + ": " + value
}

// noEffect is the effect of a content that leaves the price as it is.
const noEffect = "no change"

func effect(factor float64) string {
	change := math.Round(1000*(factor-1)) / 10
	switch {
	case change > 0:
		return "+" + fixed(change, 1) + " %"
	case change < 0:
		return "−" + fixed(-change, 1) + " %"
	}
	return noEffect
}

func areaOnly(t *Text, j price.Judgement, u dataset.Units) {
	e := j.ByArea
	if math.IsNaN(e.Expected) {
		return
	}
	t.Heading("By media area alone")
	say := func(v float64) string { return quantity(u, "price", v) }
	t.Para(fmt.Sprintf("By its media area alone it would cost about %s.", spokenMoney(u, e.Expected)))
	t.Evidence(fmt.Sprintf("%s; 19 of 20 parts of that area cost %s to %s", say(e.Expected), say(e.Low), say(e.High)))
}

// Prices writes the ranked list of all parts; warnings are those about all of
// them, most is what there is where prices can't be judged.
func Prices(t *Text, all []price.Judgement, warnings []string, most []price.ForMoney, u dataset.Units) {
	t.Heading("Prices against contents, the dearest for its contents first")
	if len(all) == 0 || all[0].Needed > 0 { // then it is so of all
		t.Para(NotJudged(len(all)))
		mostMedia(t, most, u)
		t.Notes(warnings)
		PriceCaution(t)
		return
	}
	row := func(rank, name, n, paid, fair, between, verdict string) {
		t.Line(padLeft(rank, 4) + "  " + pad(cutName(name, 20), 20) + padLeft(n, 4) + padLeft(paid, 9) + padLeft(fair, 9) +
			padLeft(between, 14) + "  " + verdict)
	}
	row("", "part", "n", "price", "usual", "19 of 20", "grade")
	var why []string
	for _, j := range all {
		if j.Grade == trend.CannotSay {
			continue
		}
		say := func(v float64) string { return u.Format("price", v) }
		row(strconv.Itoa(j.Rank), Name(j.Maker, j.Part), strconv.Itoa(j.N), say(j.Price), say(j.Fair), fixed(j.Low, 2)+"–"+fixed(j.High, 2), shortGrade(j.Verdict))
		if j.Why != "" {
			why = append(why, Name(j.Maker, j.Part)+" is "+j.Why)
		}
	}
	t.Blank()
	if s := all[0].MoneyOf; s != "" {
		t.Para("All prices are in the money of " + spoken(s) + ": the last price paid, brought up to then; n counts openings.")
	} else {
		t.Para("The price is the last one paid, n counts openings.")
	}
	t.Para("Of parts with the same contents 19 of 20 cost what the column says: of " + counted(len(all), "part", "parts") + " about " +
		expectedByChance(len(all), (1-trend.Confidence)/2) + " would cost more than that by chance alone.")
	listed(t, why, maxListed, "the JSON (--json)", func(s string) { t.Item(ended(s)) })
	t.Notes(warnings)
	PriceCaution(t)
}

// shortGrade is a grade with its side for a table.
func shortGrade(v price.Verdict) string {
	switch v.Grade {
	case trend.Clear, trend.Probable, trend.Hint:
		return string(v.Grade) + ", " + v.Direction
	}
	return string(v.Grade)
}
