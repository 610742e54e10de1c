package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/mattn/go-runewidth"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// verdictSentence is the verdict on one part with its money and its range.
func verdictSentence(j price.Judgement, u dataset.Units) string {
	if math.IsNaN(j.Fair) || math.IsNaN(j.PremiumRatio) {
		return tooFewPrices(j)
	}
	say := func(v float64) string { return quantity(u, "price", v) }
	return fmt.Sprintf("%sa price of %s stands against a fair one of about %s (%s): %s. The chance that it sits above fair is %s.",
		moneyOf(j), say(j.Paid), say(j.Fair), range95(say(j.Low95), say(j.High95)),
		againstFair(j.PremiumRatio, say(math.Abs(j.PremiumMoney))), chance(j.ChanceAboveFair))
}

// moneyOf says which year's money is spoken.
func moneyOf(j price.Judgement) string {
	if math.IsNaN(j.MoneyOf) {
		return ""
	}
	return fmt.Sprintf("in the money of %d, ", int(j.MoneyOf))
}

func tooFewPrices(j price.Judgement) string {
	if j.Needed > 0 {
		return fmt.Sprintf("too few to say; %d products with a price and a media area would do.", j.Needed)
	}
	return "too few to say; it needs a price and a media area."
}

// againstFair compares what was paid with a fair price.
func againstFair(ratio float64, money string) string {
	switch {
	case math.Abs(ratio-1) < 0.005: // would be told as 0 %
		return "it costs much the same"
	case ratio >= 1.95:
		return "it costs " + fixed(ratio, 1) + " times that, " + money + " more"
	case ratio >= 1:
		return "it costs " + percent(ratio-1) + " more, which is " + money
	}
	return "it costs " + percent(1-ratio) + " less, which is " + money
}

// verdictWords say a verdict in plain words, as a fact about the price.
func verdictWords(j price.Judgement) string {
	switch j.Verdict {
	case price.Overpriced:
		return "Priced above what its contents predict"
	case price.Dear:
		return "On the dear side for its contents"
	case price.Fair:
		return "About what its contents predict"
	case price.Cheap:
		return "On the cheap side for its contents"
	case price.Bargain:
		return "Priced below what its contents predict"
	}
	if !math.IsNaN(j.Fair) {
		return "What a fair price would be"
	}
	if j.Needed == 0 {
		return "Not judged"
	}
	return "Too few to say"
}

// Price writes the verdict on one part.
func Price(t *Text, j price.Judgement, u dataset.Units) {
	say := func(v float64) string { return quantity(u, "price", v) }
	name := Name(j.Maker, j.Part)
	if name == "" {
		name = "A part with these contents"
	}
	t.Heading(name + ": " + lowerFirst(verdictWords(j)))
	if math.IsNaN(j.Fair) {
		if j.Needed > 0 {
			t.Para(sentence(tooFewPrices(j)))
		}
		t.notes(j.Warnings)
		return
	}
	paid := "No price is given."
	switch {
	case math.IsNaN(j.Paid):
	case j.N > 1:
		paid = fmt.Sprintf("It costs %s (mean of %d openings).", say(j.Paid), j.N)
	case j.N == 1:
		paid = "It costs " + say(j.Paid) + " (1" + nbsp + "opening)."
	default:
		paid = "The question is a price of " + say(j.Paid) + "."
	}
	if !math.IsNaN(j.MoneyOf) {
		paid += fmt.Sprintf(" All prices here are in the money of %d.", int(j.MoneyOf))
	}
	t.Para(fmt.Sprintf("%s A fair price for what is inside is about %s (80%s%% range %s to %s; %s).",
		paid, say(j.Fair), nbsp, say(j.Low80), say(j.High80), range95(say(j.Low95), say(j.High95))))
	if !math.IsNaN(j.PremiumRatio) {
		s := fmt.Sprintf("Against that, %s. The chance that it sits above fair is %s.",
			againstFair(j.PremiumRatio, say(math.Abs(j.PremiumMoney))), chance(j.ChanceAboveFair))
		if j.Rank > 0 {
			s += fmt.Sprintf(" For its contents it is number %d of %s, the dearest first.", j.Rank, counted(j.Of, "product", "products"))
		}
		t.Para(s)
	}
	contributions(t, j, u)
	areaOnly(t, j, u)
	comparables(t, j, u)
	if len(j.Warnings) > 0 {
		t.Heading("Notes")
		for _, w := range j.Warnings {
			t.Item(sentence(w))
		}
	}
}

// PriceCaution ends what is said about prices.
func PriceCaution(t *Text) { caution(t, aboutBuild, aboutPrices) }

func (t *Text) notes(warnings []string) {
	for _, w := range warnings {
		t.Para("Note: " + sentence(w))
	}
}

// contributions shows how the fair price comes about: base times every factor.
func contributions(t *Text, j price.Judgement, u dataset.Units) {
	if len(j.Contributions) == 0 {
		return
	}
	t.Heading("How the fair price comes about")
	row := func(what, effect, sum string) {
		t.Line("  " + pad(cutName(what, 40), 40) + padLeft(effect, 12) + padLeft(sum, 12))
	}
	running := j.Base
	row("an average product, latest prices", "", quantity(u, "price", running))
	for _, c := range j.Contributions {
		running *= c.Factor
		row(contentWords(c, u), effect(c.Factor), quantity(u, "price", running))
	}
}

// contentWords names a content and its value: "media area 61.2 in²".
func contentWords(c price.Contribution, u dataset.Units) string {
	value := c.Value
	if c.Content == "opened" {
		return "prices of " + spoken(value)
	}
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		value = quantity(u, c.Content, v)
	}
	return trend.Words(c.Content) + ": " + value
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

func cutName(s string, width int) string { return runewidth.Truncate(Visible(s), width, "…") }

func areaOnly(t *Text, j price.Judgement, u dataset.Units) {
	if math.IsNaN(j.AreaOnly.Fair) {
		return
	}
	say := func(v float64) string { return quantity(u, "price", v) }
	t.Heading("By media area alone")
	s := fmt.Sprintf("By its media area alone, %s would be expected (%s)", say(j.AreaOnly.Fair), range95(say(j.AreaOnly.Low95), say(j.AreaOnly.High95)))
	if math.IsNaN(j.Paid) {
		t.Para(s + ".")
		return
	}
	t.Para(s + "; the price lies " + sideWord(price.Side(j.Paid, j.AreaOnly.Low95, j.AreaOnly.High95)) + " that range.")
	if d, apart := j.Disagreement(); apart {
		t.Para(fmt.Sprintf("The two disagree: by everything inside, the price lies %s its range. %s", sideWord(d.Contents), sentence(why(d))))
	}
}

func comparables(t *Text, j price.Judgement, u dataset.Units) {
	if len(j.Comparables) == 0 {
		return
	}
	t.Heading("The nearest by contents")
	for _, c := range j.Comparables {
		t.Item(fmt.Sprintf("%s: %s, media area %s.", Name(c.Maker, c.Part), quantity(u, "price", c.Price), quantity(u, "media_area", c.MediaArea)))
	}
}

// Prices writes the ranked list of all parts; warnings are those about all of
// them.
func Prices(t *Text, all []price.Judgement, warnings []string, u dataset.Units) {
	t.Heading("Prices against contents, the dearest for its contents first")
	row := func(rank, name, n, paid, fair, between, verdict string) {
		t.Line(padLeft(rank, 4) + "  " + pad(cutName(name, 20), 20) + padLeft(n, 4) + padLeft(paid, 9) + padLeft(fair, 9) +
			padLeft(between, 14) + "  " + verdict)
	}
	var few []string
	for _, j := range all {
		if j.Verdict == price.TooFew || math.IsNaN(j.Fair) {
			few = append(few, Name(j.Maker, j.Part))
		}
	}
	judged := len(all) - len(few)
	if judged > 0 {
		row("", "part", "n", "price", "fair", "95 % range", "verdict")
	}
	for _, j := range all {
		if j.Verdict == price.TooFew || math.IsNaN(j.Fair) {
			continue
		}
		say := func(v float64) string { return u.Format("price", v) }
		row(strconv.Itoa(j.Rank), Name(j.Maker, j.Part), strconv.Itoa(j.N), say(j.Paid), say(j.Fair),
			fixed(j.Low95, 2)+"–"+fixed(j.High95, 2), string(j.Verdict))
	}
	if judged > 0 {
		t.Blank()
		t.Para("n counts openings. The range says where the price of one part with these contents would fall 95 times in 100: " +
			"of " + counted(judged, "product", "products") + " about " + expectedByChance(judged, 0.025) + " would lie above theirs by chance alone.")
	}
	if len(all) == 0 {
		t.Para("None can be judged: no product has both a price and a media area.")
	}
	if len(few) > 0 {
		t.Para("Not judged: " + joined(cut(few, maxListed)) + ". " + sentence(tooFewPrices(firstFew(all))))
	}
	apart(t, all)
	PriceNotes(t, warnings)
	PriceCaution(t)
}

// PriceNotes are the warnings about all prices.
func PriceNotes(t *Text, warnings []string) { t.notes(warnings) }

func firstFew(all []price.Judgement) price.Judgement {
	for _, j := range all {
		if j.Verdict == price.TooFew || math.IsNaN(j.Fair) {
			return j
		}
	}
	return price.Judgement{}
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
