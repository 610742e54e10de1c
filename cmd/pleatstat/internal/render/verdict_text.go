package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// verdictTold writes what is said of one product's price: one sentence to be read
// aloud and one line of evidence.
func verdictTold(t *Text, v price.Verdict, u dataset.Units) {
	t.Para(VerdictSentence(v, u))
	t.Evidence(VerdictEvidence(v, u))
}

// VerdictSentence is a verdict as it is said: "Veldmarsh VM2146 costs clearly more
// than what is inside it usually costs: £37, where about £15 is usual."
func VerdictSentence(v price.Verdict, u dataset.Units) string {
	name := Name(v.Maker, v.Part)
	if name == "" {
		name = "a part with these contents"
	}
	return capital(verdictOn(name, v, u))
}

func verdictOn(name string, v price.Verdict, u dataset.Units) string {
	if v.Grade == trend.CannotSay {
		return cannotSayPrice(name, v, u)
	}
	more := "more"
	if v.Direction == price.Below {
		more = "less"
	}
	costs := name + " costs about"
	switch v.Grade {
	case trend.Clear:
		costs = name + " costs clearly " + more + " than"
	case trend.Probable:
		costs = name + " probably costs " + more + " than"
	case trend.Hint:
		costs = "A hint only: " + name + " costs " + more + " than"
	}
	why := ""
	if v.Why != "" {
		why = " It is " + ended(v.Why)
	}
	return costs + " what is inside it usually costs: " + spokenMoney(u, v.Price) + ", where about " + spokenMoney(u, v.Fair) + " is usual." + why
}

// cannotSayPrice says why a price is not judged; where only the price is missing,
// what would be usual.
func cannotSayPrice(name string, v price.Verdict, u dataset.Units) string {
	if !math.IsNaN(v.Fair) {
		return name + " usually costs about " + spokenMoney(u, v.Fair) + " for what is inside."
	}
	return sentence("the price of " + name + " can't be judged: " + strings.TrimPrefix(v.Why, "not judged: "))
}

// VerdictEvidence is what a verdict rests on, short; "" where nothing was judged.
func VerdictEvidence(v price.Verdict, u dataset.Units) string {
	if math.IsNaN(v.Fair) {
		return ""
	}
	say := []string{"usual " + spokenMoney(u, v.Low) + " to " + spokenMoney(u, v.High)}
	if !math.IsNaN(v.Ratio) {
		say = append(say, timesUsual(v.Ratio))
	}
	if v.PriceDate != "" {
		say = append(say, "last bought "+spokenMonth(v.PriceDate))
	}
	if v.N > 0 {
		say = append(say, counted(v.N, "opening", "openings")+", "+lines(v.Lines))
	}
	return strings.Join(say, "; ")
}

// timesUsual says a price over the usual one: "2.5 times", "37 % above".
func timesUsual(ratio float64) string {
	switch {
	case math.Abs(ratio-1) < 0.005: // would be told as 0 %
		return "the same"
	case ratio >= 1.95:
		return fixed(ratio, 1) + nbsp + "times"
	case ratio >= 1:
		return percent(ratio-1) + " above"
	}
	return percent(1-ratio) + " below"
}

// spokenMoney is an amount as a listener keeps it: whole from 10 up.
func spokenMoney(u dataset.Units, v float64) string {
	if v < 9.995 {
		return quantity(u, "price", v)
	}
	return strings.Replace(quantity(u, "price", math.Round(v)), ".00", "", 1)
}

// spokenMonth is an ISO date as it is said, no finer than the month.
func spokenMonth(iso string) string {
	const month = len("2006-01")
	return spoken(iso[:min(month, len(iso))])
}

// moneySentence says once which money all prices are in; "" where there is only
// one.
func moneySentence(moneyOf float64) string {
	if math.IsNaN(moneyOf) {
		return ""
	}
	return "All prices are in the money of " + spoken(dataset.FormatOpened(moneyOf, "month")) + "."
}

// riseSentence tells how prices moved, and what that rests on.
func riseSentence(r price.Rise) (said, evidence string) {
	share := func(v float64) string { return minus(fixed(100*v, 1)) }
	switch {
	case r.Low > 0:
		said = fmt.Sprintf("Prices for the same contents have risen by about %s a year.", percent(r.PerYear))
	case r.High < 0:
		said = fmt.Sprintf("Prices for the same contents have fallen by about %s a year.", percent(-r.PerYear))
	default:
		said = "It can't be told whether prices for the same contents have risen or fallen."
	}
	return said, fmt.Sprintf("%s%s%% a year, range %s to %s; %s to %s; %s", share(r.PerYear), nbsp, share(r.Low), share(r.High),
		spoken(dataset.FormatOpened(r.From, "month")), spoken(dataset.FormatOpened(r.To, "month")), counted(r.N, "product", "products"))
}

// NotJudged says that no price of the log can be judged, and what would do.
func NotJudged(usable int) string {
	return fmt.Sprintf("Prices could not be judged: %s a price and a media area, %d are needed.",
		counted(usable, "filter has", "filters have"), price.LeastProducts)
}

// mostMedia ranks what a log too small to judge prices by has.
func mostMedia(t *Text, all []price.ForMoney, u dataset.Units) {
	if len(all) < 2 {
		return
	}
	t.Para(fmt.Sprintf("Most media for the money among these %s, as paid:", counted(len(all), "filter", "filters")))
	for i, p := range all {
		t.Line(fmt.Sprintf("  %d. %s: %s for %s", i+1, Name(p.Maker, p.Part), quantity(u, "media_area", p.MediaArea), quantity(u, "price", p.Price)))
	}
}

// foreignSentence names prices in other currencies that were left out.
func foreignSentence(all []dataset.Foreign, u dataset.Units) string {
	if len(all) == 0 {
		return ""
	}
	var each []string
	for _, f := range all {
		each = append(each, counted(f.Rows, "price", "prices")+" in "+short(f.Currency))
	}
	return fmt.Sprintf("Left out: %s, where most of the log is in %s. A column rate takes them in, or for example --rate %s=0.86, at the rate of the day.",
		joined(each), short(u.Currency()), short(all[0].Currency))
}

// ForeignPrices says at the top which prices of a log were left out.
func ForeignPrices(t *Text, log *dataset.Log) {
	if s := foreignSentence(log.ForeignPrices(), log.Units()); s != "" {
		t.Para(s)
	}
}

// withGrade lists the verdicts of some grades on one side, the surer first, then
// the farther off.
func withGrade(all []price.Verdict, direction string, grades ...trend.Grade) []price.Verdict {
	var out []price.Verdict
	for _, g := range grades {
		from := len(out)
		for _, v := range all {
			if v.Grade == g && v.Direction == direction {
				out = append(out, v)
			}
		}
		if direction == price.Below { // the farthest below first
			slices.Reverse(out[from:])
		}
	}
	return out
}

// verdictSection writes the verdicts on one side of the usual prices.
func verdictSection(t *Text, all []price.Verdict, direction string, usable int, u dataset.Units, detail bool) {
	if usable < price.LeastProducts {
		t.Para(NotJudged(usable))
		return
	}
	sure := withGrade(all, direction, trend.Clear, trend.Probable)
	if len(sure) == 0 {
		t.Para(fmt.Sprintf("Of the %s judged none is, clearly or probably.", counted(usable, "part", "parts")))
	}
	say := func(v price.Verdict) {
		verdictTold(t, v, u)
		if detail {
			t.Evidence("by media area " + level("q", v.ByArea.Q) + "; by everything inside " + level("q", v.ByInside.Q))
		}
	}
	listed(t, sure, maxListed, findingsJSON, say)
	hintsOfPrice(t, withGrade(all, direction, trend.Hint), usable, u)
	if detail {
		listed(t, withGrade(all, direction, trend.Hint), maxLooks, findingsJSON, say)
		listed(t, explained(all, direction), maxLooks, findingsJSON, say)
	}
}

// hintsOfPrice names the prices that are off by no more than a hint, in one
// sentence: many of them are there by chance.
func hintsOfPrice(t *Text, hints []price.Verdict, usable int, u dataset.Units) {
	if len(hints) == 0 {
		return
	}
	var names, figures []string
	for _, v := range hints {
		names = append(names, Name(v.Maker, v.Part)+" ("+spokenMoney(u, v.Price)+", usual "+spokenMoney(u, v.Fair)+")")
		figures = append(figures, spokenMoney(u, v.Low)+" to "+spokenMoney(u, v.High)+", "+counted(v.N, "opening", "openings"))
	}
	t.Para(fmt.Sprintf("A hint only, and of %s chance alone gives about %s: %s.", counted(usable, "part", "parts"),
		expectedByChance(usable, (1-trend.Confidence)/2), joined(cut(names, maxLooks))))
	t.Evidence("usual " + strings.Join(cut(figures, maxLooks), "; "))
}

// explained are the prices that are off for the media area alone and not for
// everything inside.
func explained(all []price.Verdict, direction string) []price.Verdict {
	side := map[string]int{price.Above: 1, price.Below: -1}[direction]
	var out []price.Verdict
	for _, v := range all {
		if v.Grade == trend.AsExpected && v.ByArea.Side() == side {
			out = append(out, v)
		}
	}
	return out
}
