package trend

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/stats/outlier"
)

const (
	// clearShare is how far off the line a clear or probable flag must be: a quarter above,
	// or as far below (1/1.25). Smaller gaps, however sure, are not worth an
	// audience's time.
	clearShare = 1.25
	// priceResponse is the response whose flags are overpriced and bargain.
	priceResponse = "price"
)

// Flags lists the points that fall off the given trends: clear ones first, then
// the farther off first, trend by trend.
//
// A clear or probable flag has q <= 0.05 by Benjamini and Hochberg and lies at
// least 25 % off the line: clear whatever shape the scatter has, probable if it is
// even (outlier.Evidence). Prices are one question, tested one-sided over the
// points of their trend; being off any other trend is another, tested two-sided
// over the points of all those trends together, so that more trends do not mean
// more false flags.
//
// A point outside its own 95 % prediction range but neither is worth a
// second look; of n clean points about n/20 land there by chance.
func Flags(trends []*Trend) []Flag {
	var all []Flag
	offTrendQ(trends)
	for _, t := range trends {
		var flags []Flag
		for _, p := range t.Points {
			if f, ok := t.flag(p); ok {
				flags = append(flags, f)
			}
		}
		slices.SortStableFunc(flags, func(a, b Flag) int {
			return cmp.Or(
				cmp.Compare(order(a), order(b)),
				cmp.Compare(math.Abs(math.Log(b.Ratio)), math.Abs(math.Log(a.Ratio))),
			)
		})
		all = append(all, flags...)
	}
	return all
}

// offTrendQ corrects the q of being off either side over the points of all trends
// that are not of prices.
func offTrendQ(trends []*Trend) {
	var all outlier.Evidence
	var points []*Point
	for _, t := range trends {
		if t.model != nil && t.Response != priceResponse {
			all = all.Append(outlier.TwoSided(t.model.High, t.model.Low))
			for i := range t.Points {
				points = append(points, &t.Points[i])
			}
		}
	}
	clear, probable, err := all.Q()
	if err != nil {
		return // a p that is missing: each trend keeps its own correction
	}
	for i, p := range points {
		p.ClearTwo, p.QTwo = clear[i], probable[i]
	}
}

// order puts overpriced before bargains, and the surer before the others within each.
func order(f Flag) int {
	o := 6
	switch f.Kind {
	case Overpriced:
		o = 0
	case Bargain:
		o = 3
	}
	return o + slices.Index([]Strength{Clear, Probable, Look}, f.Strength)
}

// flag judges one point.
func (t *Trend) flag(p Point) (Flag, bool) {
	if t.TooFew || !(p.Expected > 0) || !(p.Y > 0) {
		return Flag{}, false
	}
	f := Flag{
		Kind: OffTrend, Trend: t.ID, Maker: p.Maker, Part: p.Part, Lines: p.Lines, N: p.N,
		Observed: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Ratio: p.Y / p.Expected,
		P: p.PTwo, Q: p.QTwo, QClear: p.ClearTwo,
	}
	if t.Response == priceResponse {
		if p.Residual > 0 {
			f.Kind, f.P, f.Q, f.QClear = Overpriced, p.PHigh, p.QHigh, p.ClearHigh
		} else {
			f.Kind, f.P, f.Q, f.QClear = Bargain, p.PLow, p.QLow, p.ClearLow
		}
	}
	far := f.Ratio >= clearShare || f.Ratio <= 1/clearShare
	switch {
	case f.QClear <= outlier.Level && far:
		f.Strength = Clear
	case f.Q <= outlier.Level && far:
		f.Strength = Probable
	case p.Y > p.High || p.Y < p.Low:
		f.Strength = Look
	default:
		return Flag{}, false
	}
	return f, true
}
