package plots

import (
	"fmt"
	"math"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/trend"
)

// title names the products clearly or probably off the line; if there are none it
// states the slope.
func (v *trendView) title() string {
	off := map[trend.FlagKind][]string{}
	for _, f := range v.flags {
		if f.Grade != trend.Hint {
			off[f.Kind] = append(off[f.Kind], words.Name(f.Maker, f.Part))
		}
	}
	switch names := off[trend.OffTrend]; {
	case len(off[trend.Overpriced])+len(off[trend.Bargain]) > 0:
		return words.Sentence(offUsual(off[trend.Overpriced], off[trend.Bargain]))
	case len(names) > 0:
		has, its := "has", "its"
		if len(names) > 1 {
			has, its = "have", "their"
		}
		return fmt.Sprintf("%s %s an unusual %s for %s %s", words.List(names), has, words.Of(v.t.Response).Noun, its, words.Of(v.t.Predictor).Noun)
	}
	return v.slopeTitle()
}

// slopeTitle states the slope, or that its sign is uncertain.
func (v *trendView) slopeTitle() string {
	l := v.t.Line
	response, predictor := words.Of(v.t.Response).Noun, words.Of(v.t.Predictor).Noun
	if !page.Finite(l.Slope) {
		return words.Sentence(fmt.Sprintf("%s against %s", response, predictor))
	}
	if page.Finite(l.SlopeLow, l.SlopeHigh) && l.SlopeLow <= 0 && l.SlopeHigh >= 0 {
		return fmt.Sprintf("From these %s %s it cannot be told whether %s goes with %s",
			words.Number(float64(v.t.N)), v.many(), response, predictor)
	}
	if v.t.Scale == trend.Log {
		if v.t.Response == "price" {
			none := ""
			if len(v.flags) == 0 {
				none = "; no filter costs clearly more or less"
			}
			if f := v.t.Factor(); f < 2 {
				return fmt.Sprintf("%.0f\u00a0%% more %s costs about %s\u00a0%% more", 100*(f-1), predictor, words.Significant(100*(math.Pow(f, l.Slope)-1), 2)) + none
			}
			return fmt.Sprintf("Twice the %s costs about %s times as much", predictor, words.Significant(math.Pow(2, l.Slope), 2)) + none
		}
		change := 100 * (math.Pow(1.1, l.Slope) - 1)
		return fmt.Sprintf("A tenth %s goes with about %s\u00a0%% %s",
			moreOf(v.t.Predictor, 1), words.Significant(math.Abs(change), 2), moreOf(v.t.Response, change))
	}
	step := v.step() * v.predictor.K
	change := l.Slope * step / v.predictor.K * v.response.K
	return fmt.Sprintf("Each %s %s goes with about %s %s",
		words.WithUnit(words.Significant(step, 3), v.predictor.Symbol), moreOf(v.t.Predictor, 1),
		words.WithUnit(words.Significant(math.Abs(change), 2), v.response.Symbol),
		moreOf(v.t.Response, change))
}

// step returns the smallest step of 1, 2 or 5 times a power of ten, in display
// units, that is at least a twelfth of the horizontal axis; in base units.
func (v *trendView) step() float64 {
	x, _ := v.axes()
	return page.NiceStep((x.Max-x.Min)*x.K/12, 1) / x.K
}

// moreOf returns "more can gauge", "fewer pleats" and so on, by the sign of change.
func moreOf(column string, change float64) string {
	w := words.Of(column)
	switch {
	case w.Counted != "" && change < 0:
		return "fewer " + w.Counted
	case w.Counted != "":
		return "more " + w.Counted
	case change < 0:
		return "less " + w.Noun
	}
	return "more " + w.Noun
}

func (v *trendView) subtitle() string {
	mark := "Each dot is one " + v.one()
	if len(v.points) > page.DenseFrom {
		mark = fmt.Sprintf("The stronger a cell's colour, the more %s lie in it", v.many())
	}
	s := fmt.Sprintf("%s. The band is where 95\u00a0%% of %s with that %s are expected.",
		mark, v.many(), words.Of(v.t.Predictor).Noun)
	if v.t.Lacking != "" {
		s += fmt.Sprintf(" Only %s without a recorded %s.", v.many(), words.Of(v.t.Lacking).Noun)
	}
	return s
}
