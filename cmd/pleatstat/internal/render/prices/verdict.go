package prices

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Verdict writes the verdict on one product's price: one sentence to be read aloud and
// one line of evidence.
func Verdict(t *wording.Text, v price.Verdict, u dataset.Units) {
	t.Para(Sentence(v, u))
	t.Evidence(Evidence(v, u))
}

// Sentence returns a verdict in words: "Veldmarsh VM2146 costs clearly more than what
// is inside it usually costs: £37, where about £15 is usual."
func Sentence(v price.Verdict, u dataset.Units) string {
	name := wording.Name(v.Maker, v.Part)
	if name == "" {
		name = "a part with these contents"
	}
	return wording.UpperFirst(verdictOn(name, v, u))
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
		why = " It is " + wording.Ended(v.Why)
	}
	return costs + " what is inside it usually costs: " + wording.Money(u, v.Price) + ", where about " + wording.Money(u, v.Fair) + " is usual." + why
}

// cannotSayPrice states why a price is not judged or, if only the price is missing,
// what would be usual.
func cannotSayPrice(name string, v price.Verdict, u dataset.Units) string {
	if !math.IsNaN(v.Fair) {
		return name + " usually costs about " + wording.Money(u, v.Fair) + " for what is inside."
	}
	return wording.Sentence("the price of " + name + " can't be judged: " + strings.TrimPrefix(v.Why, "not judged: "))
}

// Evidence returns the evidence for a verdict, in short; "" if nothing was judged.
func Evidence(v price.Verdict, u dataset.Units) string {
	if math.IsNaN(v.Fair) {
		return ""
	}
	say := []string{"usual " + wording.Money(u, v.Low) + " to " + wording.Money(u, v.High)}
	if !math.IsNaN(v.Ratio) {
		say = append(say, TimesUsual(v.Ratio))
	}
	if v.PriceDate != "" {
		say = append(say, "last bought "+wording.SpokenMonth(v.PriceDate))
	}
	if v.N > 0 {
		say = append(say, wording.Counted(v.N, "opening", "openings")+", "+wording.Lines(v.Lines))
	}
	return strings.Join(say, "; ")
}

// TimesUsual puts the ratio of a price to the usual one into words: "2.5 times",
// "37 % above".
func TimesUsual(ratio float64) string {
	switch {
	case math.Abs(ratio-1) < 0.005: // would read 0 %
		return "the same"
	case ratio >= 1.95:
		return wording.Fixed(ratio, 1) + wording.NBSP + "times"
	case ratio >= 1:
		return wording.Percent(ratio-1) + " above"
	}
	return wording.Percent(1-ratio) + " below"
}

// MoneySentence states which money all prices are in; "" if they are as paid.
func MoneySentence(moneyOf float64) string {
	if math.IsNaN(moneyOf) {
		return ""
	}
	return "All prices are in the money of " + wording.Spoken(dataset.FormatOpened(moneyOf, "month")) + "."
}

// RiseSentence states how prices changed, and the evidence.
func RiseSentence(r price.Rise) (sentence, evidence string) {
	share := func(v float64) string { return wording.Minus(wording.Fixed(100*v, 1)) }
	switch {
	case r.Low > 0:
		sentence = fmt.Sprintf("Prices for the same contents have risen by about %s a year.", wording.Percent(r.PerYear))
	case r.High < 0:
		sentence = fmt.Sprintf("Prices for the same contents have fallen by about %s a year.", wording.Percent(-r.PerYear))
	default:
		sentence = "It can't be told whether prices for the same contents have risen or fallen."
	}
	return sentence, fmt.Sprintf("%s%s%% a year, range %s to %s; %s to %s; %s", share(r.PerYear), wording.NBSP, share(r.Low), share(r.High),
		wording.Spoken(dataset.FormatOpened(r.From, "month")), wording.Spoken(dataset.FormatOpened(r.To, "month")), wording.Counted(r.N, "product", "products"))
}

// NotJudged states that no price of the log can be judged, and what is needed.
func NotJudged(usable int) string {
	return fmt.Sprintf("Prices could not be judged: %s a price and a media area, %d are needed.",
		wording.Counted(usable, "filter has", "filters have"), price.LeastProducts)
}

// MostMedia writes the parts by media for the money, in a log too small to judge prices.
func MostMedia(t *wording.Text, all []price.ForMoney, u dataset.Units) {
	if len(all) < 2 {
		return
	}
	t.Para(fmt.Sprintf("Most media for the money among these %s, as paid:", wording.Counted(len(all), "filter", "filters")))
	for i, p := range all {
		t.Line(fmt.Sprintf("  %d. %s: %s for %s", i+1, wording.Name(p.Maker, p.Part), wording.Quantity(u, "media_area", p.MediaArea), wording.Quantity(u, "price", p.Price)))
	}
}

// Foreign writes which prices of a log were left out as being in other currencies.
func Foreign(t *wording.Text, all []dataset.Foreign, u dataset.Units) {
	if len(all) == 0 {
		return
	}
	var each []string
	for _, f := range all {
		each = append(each, wording.Counted(f.Rows, "price", "prices")+" in "+wording.Short(f.Currency))
	}
	t.Para(fmt.Sprintf("Left out: %s, where most of the log is in %s. A column rate takes them in, or for example --rate %s=0.86, at the rate of the day.",
		wording.Joined(each), wording.Short(u.Currency()), wording.Short(all[0].Currency)))
}

// WithGrade returns the verdicts of some grades on one side: in the order of the grades,
// and within each the farthest off first.
func WithGrade(all []price.Verdict, direction string, grades ...trend.Grade) []price.Verdict {
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

// InShort names the parts whose prices are clearly or probably off on one side, "" if
// there are none.
func InShort(all []price.Verdict, usable int, u dataset.Units, direction string) string {
	if usable < price.LeastProducts {
		return ""
	}
	var phrases []string
	for _, g := range []trend.Grade{trend.Clear, trend.Probable} {
		var names []string
		for _, v := range WithGrade(all, direction, g) {
			usual := ", about " + wording.Money(u, v.Fair) + " is usual)"
			if len(names) > 0 { // the word is there once
				usual = ", " + wording.Money(u, v.Fair) + ")"
			}
			names = append(names, wording.Name(v.Maker, v.Part)+" ("+wording.Money(u, v.Price)+usual)
		}
		if len(names) > 0 {
			how := map[trend.Grade]string{trend.Clear: "clearly", trend.Probable: "probably"}[g]
			if len(phrases) == 0 {
				how += " " + direction + " what their contents usually cost"
			}
			phrases = append(phrases, how+": "+wording.Joined(wording.Cut(names, wording.MaxNamed)))
		}
	}
	return wording.Sentence(strings.Join(phrases, "; "))
}

// NoneOff states that none of n parts is off its usual price.
func NoneOff(n int) string {
	return fmt.Sprintf("Of %s none costs clearly or probably more or less than its contents usually cost.", wording.Counted(n, "part", "parts"))
}
