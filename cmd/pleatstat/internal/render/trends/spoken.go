package trends

import (
	"math"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/trend"
)

// Sentence returns a fitted trend in one sentence, and its evidence.
func Sentence(tr *trend.Trend, u dataset.Units) (sentence, evidence string) {
	evidence = Points(tr, tr.N)
	if math.IsNaN(tr.Line.SlopeLow) || math.IsNaN(tr.Line.SlopeHigh) {
		return unrelated(tr), evidence
	}
	var step, amount, between string
	if tr.Scale == trend.Log {
		step, amount, between = factorInWords(tr)
	} else {
		step, amount, between = stepInWords(tr, u)
	}
	evidence = between + "; " + evidence
	switch {
	case !tr.Related():
		return unrelated(tr), step + ": " + evidence
	case tr.Response == "price" && tr.Scale == trend.Log && step == "twice the "+catalogue.Words(tr.Predictor):
		return wording.UpperFirst(step) + " costs " + amount + ".", evidence
	case tr.Response == "price":
		return "Filters with " + step + " cost " + amount + ".", evidence
	case tr.Predictor == "opened":
		return "Filters opened a year later have " + amount + ".", evidence
	}
	return "Filters with " + step + " have " + amount + ".", evidence
}

func unrelated(tr *trend.Trend) string {
	s := "no relation shows between " + catalogue.Words(tr.Predictor) + " and " + catalogue.Words(tr.Response) + "."
	if tr.Lacking != "" {
		s = "where there is no " + catalogue.Words(tr.Lacking) + ", " + s
	}
	return wording.UpperFirst(s)
}

// factorInWords puts a slope on the logarithmic scale into words.
func factorInWords(tr *trend.Trend) (step, amount, between string) {
	factor := tr.Factor()
	ratio, low, high := math.Pow(factor, tr.Line.Slope), math.Pow(factor, tr.Line.SlopeLow), math.Pow(factor, tr.Line.SlopeHigh)
	response := catalogue.Words(tr.Response)
	_, l, h := wording.Times(ratio, low, high)
	between = l + " to " + h + " times"
	if tr.Response == "price" {
		response = ""
	}
	switch {
	case ratio >= 1.5 && response == "":
		amount = "about " + wording.Fixed(ratio, 1) + " times as much"
	case ratio >= 1.5:
		amount = "about " + wording.Fixed(ratio, 1) + " times the " + response
	case ratio >= 1:
		amount = strings.TrimSpace("about " + wording.Percent(ratio-1) + " more " + response)
	default:
		amount = strings.TrimSpace("about " + wording.Percent(1-ratio) + " " + wording.More(tr.Response, false) + " " + response)
	}
	return factorStep(tr), amount, between
}

// factorStep returns, in words, the factor of the predictor by which a slope on the
// logarithmic scale is stated.
func factorStep(tr *trend.Trend) string {
	predictor := catalogue.Words(tr.Predictor)
	switch factor := tr.Factor(); {
	case factor < 2:
		return wording.Percent(factor-1) + " more " + predictor
	case wording.Counts(tr.Predictor):
		return "twice as many " + predictor
	}
	return "twice the " + predictor
}

// plainStep returns, in words, the amount of the predictor by which a slope on the
// linear scale is stated.
func plainStep(tr *trend.Trend, by float64, u dataset.Units) string {
	return wording.WholeThings(tr.Predictor, wording.Signless(u, tr.Predictor, by, by)) + " more " + catalogue.Words(tr.Predictor)
}

// stepInWords puts a slope on the linear scale into words.
func stepInWords(tr *trend.Trend, u dataset.Units) (step, amount, between string) {
	by := roundStep(tr, u)
	low, high := tr.Line.SlopeLow*by, tr.Line.SlopeHigh*by
	half := (high - low) / 2
	say := func(v float64) string { return wording.Signless(u, tr.Response, v, half) }
	step = plainStep(tr, by, u)
	if tr.Predictor == "opened" {
		step = "a year later"
	}
	about := wording.Rounded(math.Abs(tr.Line.Slope*by) * u.Of(tr.Response).PerBase)
	about = wording.Unbroken(strings.TrimSpace(about + " " + u.Of(tr.Response).Symbol))
	if n := math.Round(math.Abs(tr.Line.Slope * by)); wording.Counts(tr.Response) && n > 0 {
		about = wording.Fixed(n, 0)
	}
	if tr.Response == "price" {
		about = wording.Money(u, math.Abs(tr.Line.Slope*by))
	}
	amount = "about " + about + " " + wording.More(tr.Response, tr.Line.Slope > 0)
	if tr.Response != "price" {
		amount += " " + catalogue.Words(tr.Response)
	}
	less := wording.More(tr.Response, false)
	between = say(low) + " to " + say(high) + " more"
	switch {
	case high < 0:
		between = say(high) + " to " + say(low) + " " + less
	case low <= 0:
		between = say(low) + " " + less + " to " + say(high) + " more"
	}
	return step, amount, between
}

// WriteTrend writes one fitted trend: what it says, its evidence and, in detail, the other
// lines and what was left out.
func WriteTrend(t *wording.Text, tr *trend.Trend, u dataset.Units, detail bool) {
	sentence, evidence := Sentence(tr, u)
	t.Para(sentence)
	t.Evidence(evidence)
	if !detail {
		return
	}
	t.Evidence(Title(tr) + ": " + trendSentence(tr, u))
	for _, s := range trendDetails(tr, u) {
		t.Evidence(s)
	}
}

// FlagInShort returns a sentence on a part that lies off a trend, which is not of prices,
// and its evidence.
func FlagInShort(f trend.Flag, tr *trend.Trend, u dataset.Units) (sentence, evidence string) {
	say := sayer(f, tr, u)
	whose := " for its " + catalogue.Words(tr.Predictor)
	if tr.Predictor == "opened" {
		whose = " at its date"
	}
	how := map[trend.Grade]string{trend.Clear: "clearly ", trend.Probable: "probably ", trend.Hint: ""}[f.Grade]
	sentence = wording.Name(f.Maker, f.Part) + " has " + wording.Owned(tr.Response, say(f.Observed)) + ", " + how + wording.More(tr.Response, f.Observed > f.Expected) +
		" than the " + say(f.Expected) + " usual" + whose + "."
	if f.Grade == trend.Hint {
		sentence = "A hint only: " + sentence
	}
	evidence = "usual " + say(f.Low) + " to " + say(f.High) + outsideRange(say, f) + "; " + wording.Counted(f.N, "opening", "openings") + ", " + wording.Lines(f.Lines)
	sentence += ofSize(f, u)
	if len(f.Doubtful) > 0 {
		sentence += " Measure it again before telling it."
		evidence += "; " + strings.Join(doubts(f), "; ")
	}
	return sentence, evidence
}
