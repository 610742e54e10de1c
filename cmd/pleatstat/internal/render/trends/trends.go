// Package trends puts the trends of stats/trend and what lies off them into words. A
// part off a trend of prices gets the verdict of stats/price, which considers all of
// its contents, not this trend alone.
package trends

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Points returns a number of fitted points with their noun.
func Points(t *trend.Trend, n int) string {
	if t.Per == trend.PerOpening {
		return wording.Counted(n, "opening", "openings")
	}
	return wording.Counted(n, "product", "products")
}

// Title returns the title of a trend: "Price on media area".
func Title(t *trend.Trend) string {
	title := wording.UpperFirst(catalogue.Words(t.Response)) + " on " + catalogue.Words(t.Predictor)
	if t.Lacking != "" {
		title += " (where there is no " + catalogue.Words(t.Lacking) + ")"
	}
	return title
}

// slopeSentence states the slope, and claims no more than its range allows.
func slopeSentence(t *trend.Trend, u dataset.Units) string {
	if math.IsNaN(t.Line.SlopeLow) || math.IsNaN(t.Line.SlopeHigh) {
		return fmt.Sprintf("no clear relation: the range of the slope is unknown (%s).", Points(t, t.N))
	}
	if t.Scale == trend.Log {
		return factorSentence(t)
	}
	return stepSentence(t, u)
}

// factorSentence states a slope on the logarithmic scale: the factor that goes with
// twice the predictor or, in a log too narrow for that, with a smaller step.
func factorSentence(t *trend.Trend) string {
	factor := t.Factor()
	low, high := math.Pow(factor, t.Line.SlopeLow), math.Pow(factor, t.Line.SlopeHigh)
	r, l, h := wording.Times(math.Pow(factor, t.Line.Slope), low, high)
	bracket := fmt.Sprintf("(%s; %s)", wording.Range95(l, h), Points(t, t.N))
	step, s, goes := factorStep(t), "s", "es"
	if wording.Counts(t.Predictor) {
		s, goes = "", ""
	}
	switch {
	case low <= 1 && high >= 1:
		return fmt.Sprintf("no clear relation: %s may go with anything from %s to %s times the %s (95%s%% range; %s).",
			step, l, h, catalogue.Words(t.Response), wording.NBSP, Points(t, t.N))
	case t.Response == "price":
		return fmt.Sprintf("%s cost%s %s times as much %s.", step, s, r, bracket)
	}
	return fmt.Sprintf("%s go%s with %s times the %s %s.", step, goes, r, catalogue.Words(t.Response), bracket)
}

func stepSentence(t *trend.Trend, u dataset.Units) string {
	step := roundStep(t, u)
	low, high := t.Line.SlopeLow*step, t.Line.SlopeHigh*step
	half := (high - low) / 2
	say := func(v float64) string { return wording.Signless(u, t.Response, v, half) }
	name := catalogue.Words(t.Response)
	stepText, goes := plainStep(t, step, u), "goes"
	switch {
	case t.Predictor == "opened":
		stepText = "one year later"
	case wording.Counts(t.Predictor):
		goes = "go"
	}
	if low <= 0 && high >= 0 {
		return fmt.Sprintf("no clear relation: %s may go with anything from %s %s to %s more %s (95%s%% range; %s).",
			stepText, say(low), wording.More(t.Response, false), say(high), name, wording.NBSP, Points(t, t.N))
	}
	if high < 0 {
		low, high = -high, -low
	}
	return fmt.Sprintf("%s %s with %s %s %s (%s; %s).", stepText, goes, say(t.Line.Slope*step),
		wording.More(t.Response, t.Line.Slope > 0), name, wording.Range95(say(low), say(high)), Points(t, t.N))
}

// roundStep returns a round amount of the predictor, in base units, of at most a fifth
// of its span: 1, 2 or 5 times a power of ten in the unit shown; one year for dates.
func roundStep(t *trend.Trend, u dataset.Units) float64 {
	if t.Predictor == "opened" {
		return 1 // year
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range t.Points {
		low, high = min(low, p.X), max(high, p.X)
	}
	perBase := u.Of(t.Predictor).PerBase
	span := (high - low) * perBase / 5
	if !(span > 0) || math.IsInf(span, 0) {
		return 1 / perBase
	}
	ten := math.Pow(10, math.Floor(math.Log10(span)))
	for _, m := range []float64{5, 2} {
		if m*ten <= span {
			return m * ten / perBase
		}
	}
	return ten / perBase
}

// scatterSentence states how many points lie close to the line.
func scatterSentence(t *trend.Trend, u dataset.Units) string {
	var within func(p trend.Point) bool
	var near string
	if t.Scale == trend.Log {
		share := math.Ceil(20*(math.Exp(t.Line.Spread)-1)) / 20 // rounded up to 5 %
		near = wording.Percent(share)
		within = func(p trend.Point) bool { return max(p.Y/p.Expected, p.Expected/p.Y) <= 1+share }
	} else {
		near = wording.Signless(u, t.Response, t.Line.Spread, t.Line.Spread)
		if wording.Counts(t.Response) {
			near += wording.NBSP + catalogue.Words(t.Response)
		}
		within = func(p trend.Point) bool { return math.Abs(p.Y-p.Expected) <= t.Line.Spread }
	}
	n := 0
	for _, p := range t.Points {
		if within(p) {
			n++
		}
	}
	return fmt.Sprintf("%s of the %s lie within %s of that line.", wording.Thousands(n), Points(t, len(t.Points)), near)
}

// otherLines states the slope by the other methods, "" if there is none.
func otherLines(t *trend.Trend, u dataset.Units) string {
	var phrases []string
	add := func(name string, l trend.Line) {
		if math.IsNaN(l.Slope) {
			return
		}
		phrases = append(phrases, name+" "+slopeFigures(t, l, u))
	}
	add("plain least squares on all of them", t.LeastSquares)
	add("robust line", t.Robust)
	add("with errors of both readings allowed for", t.BothErrors)
	if len(phrases) == 0 {
		return ""
	}
	return "For comparison: " + strings.Join(phrases, "; ") + "."
}

// slopeFigures returns the slope of another line through the same points with its
// range, as bare figures in the form of the trend's own.
func slopeFigures(t *trend.Trend, l trend.Line, u dataset.Units) string {
	if math.IsNaN(l.SlopeLow) || math.IsNaN(l.SlopeHigh) {
		l.SlopeLow, l.SlopeHigh = l.Slope, l.Slope // state no range: it is not known
		figure, _, _ := strings.Cut(slopeFigures(t, l, u), ",")
		return figure
	}
	if t.Scale == trend.Log {
		ratioOf := func(slope float64) float64 { return math.Pow(t.Factor(), slope) }
		ratio, low, high := wording.Times(ratioOf(l.Slope), ratioOf(l.SlopeLow), ratioOf(l.SlopeHigh))
		return fmt.Sprintf("%s times, %s to %s", ratio, low, high)
	}
	step := roundStep(t, u)
	half := step * (l.SlopeHigh - l.SlopeLow) / 2
	perBase := u.Of(t.Response).PerBase
	low, high := l.SlopeLow, l.SlopeHigh
	if t.Line.Slope < 0 { // stated as so much less: turn the signs round
		step, low, high = -step, high, low
	}
	say := func(v float64) string {
		return wording.Minus(wording.Fixed(v*step*perBase, wording.DecimalsFor(half*perBase)))
	}
	return fmt.Sprintf("%s, %s to %s", say(l.Slope), say(low), say(high))
}

// leftOutSentence states how many openings could not take part, and why.
func leftOutSentence(t *trend.Trend) string {
	var why []string
	for _, l := range t.LeftOutReasons {
		why = append(why, fmt.Sprintf("%s %s", wording.Thousands(l.Rows), l.Reason))
	}
	if t.LeftOut == 0 {
		return ""
	}
	return fmt.Sprintf("%s left out: %s.", wording.Counted(t.LeftOut, "opening", "openings"), strings.Join(why, "; "))
}

// trendSentence returns the main sentence on a trend.
func trendSentence(tr *trend.Trend, u dataset.Units) string {
	if tr.TooFew {
		return TooFew(tr)
	}
	return slopeSentence(tr, u) + " " + scatterSentence(tr, u)
}

// trendDetails returns what else is to be said about a fitted trend.
func trendDetails(tr *trend.Trend, u dataset.Units) []string {
	var out []string
	for _, s := range []string{otherLines(tr, u), leftOutSentence(tr)} {
		if s != "" {
			out = append(out, s)
		}
	}
	for _, w := range tr.Warnings {
		out = append(out, "Note: "+wording.Sentence(w))
	}
	return out
}

// TooFew states that a trend has too little data and how much it needs.
func TooFew(t *trend.Trend) string {
	if len(t.Warnings) > 0 {
		return wording.Ended(strings.Join(t.Warnings, "; "))
	}
	return fmt.Sprintf("too few to say (%s; %d would do).", Points(t, t.N), t.Needed)
}

// Fitted is one trend with what lies off it.
type Fitted struct {
	Trend    *trend.Trend
	Flags    []trend.Flag
	Verdicts []price.Verdict // for a trend of prices: on the part of each flag
	// Also for a trend of prices: how many products can be judged, the date of the
	// money that prices are in (as price.Model.MoneyOf), and whether the line is
	// through prices as paid, each in the money of its own day.
	Usable  int
	MoneyOf float64
	AsPaid  bool
}

// Report writes one trend and what lies off it.
func Report(t *wording.Text, f Fitted, u dataset.Units) {
	tr := f.Trend
	t.Heading(Title(tr))
	if tr.TooFew {
		t.Para(wording.UpperFirst(TooFew(tr)))
		return
	}
	sentence, evidence := Sentence(tr, u)
	t.Para(sentence)
	t.Evidence(evidence + "; " + strings.TrimSuffix(scatterSentence(tr, u), "."))
	for _, s := range trendDetails(tr, u) {
		t.Evidence(strings.TrimSuffix(s, "."))
	}
	t.Heading("Off the trend")
	if !tr.Related() {
		t.Para("Nothing: where no relation shows, nothing can lie off it.")
		return
	}
	if tr.Response == trend.PriceResponse {
		offPrices(t, f, u)
		return
	}
	if len(f.Flags) == 0 {
		t.Para("Nothing: no part lies further off than one in twenty does by chance.")
		return
	}
	wording.Listed(t, f.Flags, wording.MaxListed, "the JSON (--json)", func(f trend.Flag) {
		sentence, evidence := FlagInShort(f, tr, u)
		t.Para(sentence)
		t.Evidence(evidence + "; " + certainty(f))
	})
	t.Para(byChance(Points(tr, tr.N), tr.N))
}

// offPrices writes the verdict on each part off a trend of prices, and where the part
// lies on this trend.
func offPrices(t *wording.Text, f Fitted, u dataset.Units) {
	if f.Usable < price.LeastProducts {
		t.Para(prices.NotJudged(f.Usable))
		return
	}
	money := prices.MoneySentence(f.MoneyOf)
	if f.AsPaid && money != "" {
		t.Para("The line is through prices as they were paid; a part is judged by everything inside it, in the money of " +
			wording.Spoken(dataset.FormatOpened(f.MoneyOf, "month")) + ".")
	} else {
		t.Para(strings.TrimSpace(money + " A part is judged by everything inside it, not by this line alone."))
	}
	if len(f.Flags) == 0 {
		t.Para(fmt.Sprintf("Of the %s judged none is off it.", wording.Counted(f.Usable, "part", "parts")))
		return
	}
	wording.Listed(t, f.Verdicts, wording.MaxListed, "the JSON (--json)", func(v price.Verdict) {
		flag := f.Flags[slices.IndexFunc(f.Verdicts, func(o price.Verdict) bool { return o.Maker == v.Maker && o.Part == v.Part })]
		t.Para(prices.Sentence(v, u))
		here := "; on this line usual "
		if f.AsPaid {
			here = "; on this line " + wording.Money(u, flag.Observed) + " as paid, usual "
		}
		t.Evidence(prices.Evidence(v, u) + here + wording.Money(u, flag.Low) + " to " + wording.Money(u, flag.High))
	})
	if slices.ContainsFunc(f.Flags, func(flag trend.Flag) bool { return flag.Grade == trend.Hint }) {
		t.Para(byChance(wording.Counted(f.Usable, "part", "parts"), f.Usable))
	}
}

// byChance states how many of n sound points lie as far off by chance.
func byChance(points string, n int) string {
	return fmt.Sprintf("A hint is no verdict: of %s about %s lie as far off by chance alone.", points, wording.ExpectedByChance(n, trend.ByChance))
}
