package plots

import (
	"fmt"
	"math"
	"unicode"
	"unicode/utf8"

	"pleatstat/stats/trend"
)

// title states what the trend found.
func (v *trendView) title() string {
	var clear [3]int // overpriced, bargain, off-trend
	for _, f := range v.flags {
		if f.Grade != trend.Hint {
			clear[kindIndex(f.Kind)]++
		}
	}
	over, under, off := clear[0], clear[1], clear[2]
	predictor := wordsOf(v.t.Predictor).noun
	switch {
	case over > 0 && under > 0:
		return sentence(fmt.Sprintf("%s more than what %s contents usually cost, %s less", costs(over), its(over), count(under)))
	case over > 0:
		return sentence(fmt.Sprintf("%s more than what %s contents usually cost", costs(over), its(over)))
	case under > 0:
		return sentence(fmt.Sprintf("%s less than what %s contents usually cost", costs(under), its(under)))
	case off == 1:
		return fmt.Sprintf("One filter falls clearly off the line of %s on %s", wordsOf(v.t.Response).noun, predictor)
	case off > 1:
		return sentence(fmt.Sprintf("%s filters fall clearly off the line of %s on %s", count(off), wordsOf(v.t.Response).noun, predictor))
	}
	return v.slopeTitle()
}

func its(n int) string {
	if n == 1 {
		return "its"
	}
	return "their"
}

func kindIndex(k trend.FlagKind) int {
	switch k {
	case trend.Overpriced:
		return 0
	case trend.Bargain:
		return 1
	}
	return 2
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
			if f := v.t.Factor(); f < 2 {
				return fmt.Sprintf("%.0f\u00a0%% more %s costs %s\u00a0%% more; no filter costs clearly more or less than its contents usually do",
					100*(f-1), predictor, significant(100*(math.Pow(f, l.Slope)-1), 2))
			}
			return fmt.Sprintf("Twice the %s costs %s times as much; no filter costs clearly more or less than its contents usually do",
				predictor, significant(math.Pow(2, l.Slope), 2))
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

// withUnit puts a currency's sign before the number, any other unit after it:
// "£2.40 per 100 g".
func withUnit(number, symbol string) string {
	if symbol == "" {
		return number
	}
	if r, size := utf8.DecodeRuneInString(symbol); unicode.Is(unicode.Sc, r) && (size == len(symbol) || symbol[size] == ' ') {
		return symbol[:size] + number + symbol[size:]
	}
	return number + nbsp + symbol
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
