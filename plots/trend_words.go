package plots

import (
	"fmt"
	"math"

	"pleatstat/stats/trend"
)

// title states what the trend found.
func (v *trendView) title() string {
	off := map[trend.FlagKind][]string{}
	for _, f := range v.flags {
		if f.Grade != trend.Hint {
			off[f.Kind] = append(off[f.Kind], name(f.Maker, f.Part))
		}
	}
	switch names := off[trend.OffTrend]; {
	case len(off[trend.Overpriced])+len(off[trend.Bargain]) > 0:
		return sentence(offUsual(off[trend.Overpriced], off[trend.Bargain]))
	case len(names) > 0:
		has, its := "has", "its"
		if len(names) > 1 {
			has, its = "have", "their"
		}
		return fmt.Sprintf("%s %s an unusual %s for %s %s", list(names), has, wordsOf(v.t.Response).noun, its, wordsOf(v.t.Predictor).noun)
	}
	return v.slopeTitle()
}

// slopeTitle puts the slope in words, or says that none can be told.
func (v *trendView) slopeTitle() string {
	l := v.t.Line
	response, predictor := wordsOf(v.t.Response).noun, wordsOf(v.t.Predictor).noun
	if !finite(l.Slope) {
		return sentence(fmt.Sprintf("%s against %s", response, predictor))
	}
	if finite(l.SlopeLow, l.SlopeHigh) && l.SlopeLow <= 0 && l.SlopeHigh >= 0 {
		return fmt.Sprintf("From these %s %s it cannot be told whether %s goes with %s",
			plainNumber(float64(v.t.N)), v.many(), response, predictor)
	}
	if v.t.Scale == trend.Log {
		if v.t.Response == "price" {
			none := ""
			if len(v.flags) == 0 {
				none = "; no filter costs clearly more or less"
			}
			if f := v.t.Factor(); f < 2 {
				return fmt.Sprintf("%.0f\u00a0%% more %s costs %s\u00a0%% more", 100*(f-1), predictor, significant(100*(math.Pow(f, l.Slope)-1), 2)) + none
			}
			return fmt.Sprintf("Twice the %s costs %s times as much", predictor, significant(math.Pow(2, l.Slope), 2)) + none
		}
		change := 100 * (math.Pow(1.1, l.Slope) - 1)
		return fmt.Sprintf("A tenth %s goes with %s\u00a0%% %s",
			moreOf(v.t.Predictor, 1), significant(math.Abs(change), 2), moreOf(v.t.Response, change))
	}
	kx, ky := perBase(v.t.Predictor, v.units), perBase(v.t.Response, v.units)
	step := v.step() * kx
	change := l.Slope * step / kx * ky
	return fmt.Sprintf("Each %s %s goes with %s %s",
		withUnit(significant(step, 3), clean(v.units.Of(v.t.Predictor).Symbol)), moreOf(v.t.Predictor, 1),
		withUnit(significant(math.Abs(change), 2), clean(v.units.Of(v.t.Response).Symbol)),
		moreOf(v.t.Response, change))
}

// step is about a tenth of the predictor's range, round in display units.
func (v *trendView) step() float64 {
	x, _ := v.axes()
	return niceStep((x.max-x.min)*x.k/12, 1) / x.k
}

// moreOf says "more can gauge" or "fewer pleats".
func moreOf(column string, change float64) string {
	w := wordsOf(column)
	switch {
	case w.counted != "" && change < 0:
		return "fewer " + w.counted
	case w.counted != "":
		return "more " + w.counted
	case change < 0:
		return "less " + w.noun
	}
	return "more " + w.noun
}

func (v *trendView) subtitle() string {
	mark := "Each dot is one " + v.one()
	if len(v.points) > denseFrom {
		mark = fmt.Sprintf("The stronger a cell's colour, the more %s lie in it", v.many())
	}
	s := fmt.Sprintf("%s. The band is where 95\u00a0%% of %s with that %s are expected.",
		mark, v.many(), wordsOf(v.t.Predictor).noun)
	if v.t.Lacking != "" {
		s += fmt.Sprintf(" Only %s without a recorded %s.", v.many(), wordsOf(v.t.Lacking).noun)
	}
	return s
}
