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
	"pleatstat/stats/trend"
)

// ofSize states, beside a flag on can gauge, what the can's mass and size imply for
// its wall, and what follows from that; "" if they are not known.
func ofSize(f trend.Flag, u dataset.Units) string {
	if math.IsNaN(f.ImpliedGauge) || f.ImpliedGauge == 0 {
		return ""
	}
	by := " Its mass and size imply a wall of " + wording.Quantity(u, "can_gauge", f.ImpliedGauge)
	if f.OfSize {
		return by + " too: it is its size that is unusual, not its make."
	}
	return by + "."
}

// OfFlag returns the trend that a flag is about, nil if it is not among trends.
func OfFlag(f trend.Flag, trends []*trend.Trend) *trend.Trend {
	if i := slices.IndexFunc(trends, func(t *trend.Trend) bool { return t.ID == f.Trend }); i >= 0 {
		return trends[i]
	}
	return nil
}

// FlagSentence states how far one product lies off one trend, which is not of prices.
func FlagSentence(f trend.Flag, t *trend.Trend, u dataset.Units) string {
	say := sayer(f, t, u)
	x := f.Predictor
	what := "for its " + catalogue.Words(t.Predictor)
	switch {
	case math.IsNaN(x):
	case wording.Counts(t.Predictor):
		what = "for its " + wording.Value(u, t.Predictor, x) + wording.NBSP + catalogue.Words(t.Predictor)
	default:
		what += " of " + wording.Quantity(u, t.Predictor, x)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s has %s, where %s would be expected %s", wording.Name(f.Maker, f.Part),
		wording.Owned(t.Response, say(f.Observed)), say(f.Expected), what)
	fmt.Fprintf(&b, " (95%s%% range for one part %s to %s). ", wording.NBSP, say(f.Low), say(f.High))
	fmt.Fprintf(&b, "It lies %s what is usual", offBy(f.Ratio))
	fmt.Fprintf(&b, " (%s; %s, %s).", certainty(f), wording.Counted(f.N, "opening", "openings"), wording.Lines(f.Lines))
	b.WriteString(ofSize(f, u))
	for _, d := range doubts(f) {
		b.WriteString(" Measure again before telling it: the " + d + ".")
	}
	return b.String()
}

// doubts names the doubtful readings behind a flag.
func doubts(f trend.Flag) []string {
	var all []string
	for _, d := range f.Doubtful {
		all = append(all, fmt.Sprintf("%s in %s, %s, is doubtful", wording.Short(catalogue.Words(d.Name)), wording.Line(d.Line), wording.Quoted(d.Text)))
	}
	return all
}

// sayer returns a function that writes values of a flag's response. Counts are whole.
// Values of other measures get one more decimal if the observed one would otherwise
// be rounded to a limit of its range.
func sayer(f trend.Flag, t *trend.Trend, u dataset.Units) func(float64) string {
	say := func(v float64) string { return wording.Value(u, t.Response, v) }
	if wording.Counts(t.Response) {
		return say
	}
	if say(f.Observed) == say(f.Low) || say(f.Observed) == say(f.High) {
		return func(v float64) string { return wording.Precise(u, t.Response, v, u.Of(t.Response).Decimals+1) }
	}
	return say
}

// outsideRange states that a part lies outside its range if the digits shown do not show
// it.
func outsideRange(say func(float64) string, f trend.Flag) string {
	if say(f.Observed) == say(f.Low) || say(f.Observed) == say(f.High) {
		return ", just outside it"
	}
	return ""
}

func offBy(ratio float64) string {
	switch {
	case math.Abs(ratio-1) < 0.01:
		side := " above"
		if ratio < 1 {
			side = " below"
		}
		return wording.Fixed(100*math.Abs(ratio-1), 2) + wording.NBSP + "%" + side
	case ratio >= 1.95:
		return "at " + wording.Fixed(ratio, 1) + " times"
	}
	return prices.TimesUsual(ratio)
}

// certainty returns the grade of a flag with its q value.
func certainty(f trend.Flag) string {
	if f.Grade == trend.Clear {
		return string(f.Grade) + "; " + wording.Level("q", f.QClear)
	}
	return map[trend.Grade]string{trend.Probable: "probable", trend.Hint: "a hint"}[f.Grade] + "; " + wording.Level("q", f.Q)
}

// FlagForPart states how far a part lies off what another of its measures predicts,
// and the evidence.
func FlagForPart(f trend.Flag, u dataset.Units) (sentence, evidence string) {
	d := DefinitionOf(f.Trend)
	value := func(v float64) string { return wording.Value(u, d.Response, v) }
	sure := map[trend.Grade]string{trend.Clear: "It clearly has", trend.Probable: "It probably has", trend.Hint: "A hint only: it has"}[f.Grade]
	is, predicts := "is", "predicts"
	if wording.Counts(d.Response) {
		is = "are"
	}
	if wording.Counts(d.Predictor) {
		predicts = "predict"
	}
	sentence = fmt.Sprintf("%s %s %s than its %s %s: %s, where about %s %s usual.", sure, wording.More(d.Response, f.Observed > f.Expected),
		catalogue.Words(d.Response), catalogue.Words(d.Predictor), predicts, value(f.Observed), value(f.Expected), is)
	if d.Response == "can_gauge" {
		thick := map[bool]string{true: "thicker", false: "thinner"}[f.Observed > f.Expected]
		sentence = strings.Replace(sentence, wording.More(d.Response, f.Observed > f.Expected)+" can gauge than its "+catalogue.Words(d.Predictor), "a "+thick+" can than its mass", 1)
	}
	sentence += ofSize(f, u)
	evidence = "usual " + value(f.Low) + " to " + value(f.High) + outsideRange(value, f) + "; " + wording.Counted(f.N, "opening", "openings") + ", " + wording.Lines(f.Lines)
	return sentence, evidence
}

// DefinitionOf returns the standard trend with an ID, the zero Definition if there is
// none.
func DefinitionOf(id string) trend.Definition {
	all := trend.Standard()
	if i := slices.IndexFunc(all, func(d trend.Definition) bool { return d.ID == id }); i >= 0 {
		return all[i]
	}
	return trend.Definition{}
}
