package render

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

func trendOfFlag(f trend.Flag, trends []*trend.Trend) *trend.Trend {
	for _, t := range trends {
		if t.ID == f.Trend {
			return t
		}
	}
	return nil
}

// flagSentence says how far one product lies off one trend.
func flagSentence(f trend.Flag, trends []*trend.Trend, u dataset.Units) string {
	t := trendOfFlag(f, trends)
	if t == nil {
		return fmt.Sprintf("%s lies %s what is usual by %s (%s).", Name(f.Maker, f.Part), offBy(f.Ratio), f.Trend, certainty(f))
	}
	say := sayer(f, t, u)
	x := f.Predictor
	what := "for its " + dataset.Words(t.Predictor)
	switch {
	case math.IsNaN(x):
	case counts(t.Predictor):
		what = "for its " + value(u, t.Predictor, x) + nbsp + dataset.Words(t.Predictor)
	default:
		what += " of " + quantity(u, t.Predictor, x)
	}
	var b strings.Builder
	if f.Kind == trend.OffTrend {
		fmt.Fprintf(&b, "%s has %s, where %s would be expected %s", Name(f.Maker, f.Part),
			owned(t.Response, say(f.Observed)), say(f.Expected), what)
	} else {
		fmt.Fprintf(&b, "%s costs %s; %s, %s would be expected", Name(f.Maker, f.Part), say(f.Observed), what, say(f.Expected))
	}
	fmt.Fprintf(&b, " (95%s%% range for one part %s to %s). ", nbsp, say(f.Low), say(f.High))
	fmt.Fprintf(&b, "It lies %s what is usual", offBy(f.Ratio))
	fmt.Fprintf(&b, " (%s; %s, %s).", certainty(f), counted(f.N, "opening", "openings"), lines(f.Lines))
	return b.String() + ofSize(f, u) + doubts(f)
}

// doubts warns of doubtful readings behind a flag.
func doubts(f trend.Flag) string {
	var b strings.Builder
	for _, d := range f.Doubtful {
		fmt.Fprintf(&b, " Measure again before telling it: the %s in %s, %s, is doubtful.", short(dataset.Words(d.Name)), line(d.Line), quoted(d.Text))
	}
	return b.String()
}

// sayer writes values of a flag's response, whole things whole. Where else the one
// observed would be rounded to the very edge it lies beyond, all get one more digit.
func sayer(f trend.Flag, t *trend.Trend, u dataset.Units) func(float64) string {
	say := func(v float64) string { return value(u, t.Response, v) }
	if counts(t.Response) {
		return say
	}
	if say(f.Observed) == say(f.Low) || say(f.Observed) == say(f.High) {
		return func(v float64) string { return precise(u, t.Response, v, u.Of(t.Response).Decimals+1) }
	}
	return say
}

// beyondEdge says that a part lies beyond its range where the digits said do not
// show it.
func beyondEdge(say func(float64) string, f trend.Flag) string {
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
		return fixed(100*math.Abs(ratio-1), 2) + nbsp + "%" + side
	case ratio >= 1.95:
		return "at " + fixed(ratio, 1) + " times"
	}
	return timesUsual(ratio)
}

// certainty says how sure a flag is.
func certainty(f trend.Flag) string {
	if f.Grade == trend.Clear {
		return string(f.Grade) + "; " + level("q", f.QClear)
	}
	return map[trend.Grade]string{trend.Probable: "probable", trend.Hint: "a hint"}[f.Grade] + "; " + level("q", f.Q)
}
