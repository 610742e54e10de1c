package trend

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/stats/num"
	"pleatstat/stats/outlier"
)

const (
	// clearLevel is the false discovery rate of clear flags over one trend.
	clearLevel = 0.05
	// clearShare is how far off the line a clear flag must be: a quarter above,
	// or as far below (1/1.25). Smaller gaps, however sure, are not worth an
	// audience's time.
	clearShare = 1.25
	// priceResponse is the response whose flags are overpriced and bargain.
	priceResponse = "price"
)

// Flags lists the points that fall off the given trends: clear ones first, then
// the farther off first, trend by trend.
//
// A clear flag has q <= 0.05 by Benjamini and Hochberg and lies at least 25 % off
// the line. Prices are one question, tested one-sided over the points of their
// trend; being off any other trend is another, tested two-sided over the points
// of all those trends together, so that more trends do not mean more false flags.
// Whether a clear flag is one with the chance of long tails counted in, QTails
// says.
//
// A point outside its own 95 % prediction range but not clear is worth a
// second look; of n clean points about n/20 land there by chance.
func Flags(trends []*Trend) []Flag {
	var all []Flag
	offTrend := offTrendQ(trends, func(p *Point) float64 { return p.PTwo })
	longTailed := offTrendQ(trends, func(p *Point) float64 { return p.LongTailed.PTwo })
	for _, t := range trends {
		var flags []Flag
		for i, p := range t.Points {
			if q, ok := offTrend[t]; ok {
				p.QTwo = q[i]
			}
			if q, ok := longTailed[t]; ok {
				p.LongTailed.QTwo = q[i]
			}
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

// offTrendQ is the q of every point of the trends that are not of prices,
// corrected over all of them, from one of the p of a point.
func offTrendQ(trends []*Trend, of func(*Point) float64) map[*Trend][]float64 {
	var p []float64
	for _, t := range trends {
		if !t.TooFew && t.Response != priceResponse {
			for i := range t.Points {
				p = append(p, of(&t.Points[i]))
			}
		}
	}
	q, err := num.BenjaminiHochberg(p)
	if err != nil {
		return nil // a p that is missing: each trend keeps its own correction
	}
	each := map[*Trend][]float64{}
	for _, t := range trends {
		if !t.TooFew && t.Response != priceResponse {
			each[t], q = q[:len(t.Points)], q[len(t.Points):]
		}
	}
	return each
}

// order puts overpriced before bargains, and clear before look within each.
func order(f Flag) int {
	o := 4
	switch f.Kind {
	case Overpriced:
		o = 0
	case Bargain:
		o = 2
	}
	if f.Strength == Look {
		o++
	}
	return o
}

// flag judges one point.
func (t *Trend) flag(p Point) (Flag, bool) {
	if t.TooFew || !(p.Expected > 0) || !(p.Y > 0) {
		return Flag{}, false
	}
	f := Flag{
		Kind: OffTrend, Trend: t.ID, Maker: p.Maker, Part: p.Part, Lines: p.Lines, N: p.N,
		Observed: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Ratio: p.Y / p.Expected,
		P: p.PTwo, Q: p.QTwo, QTails: p.LongTailed.QTwo,
	}
	if t.Response == priceResponse {
		if p.Residual > 0 {
			f.Kind, f.P, f.Q, f.QTails = Overpriced, p.PHigh, p.QHigh, p.LongTailed.QHigh
		} else {
			f.Kind, f.P, f.Q, f.QTails = Bargain, p.PLow, p.QLow, p.LongTailed.QLow
		}
	}
	if f.QTails = outlier.CountingLongTails(f.Q, f.QTails, t.LongTailChance); t.LongTailChance == 0 {
		f.QTails = math.NaN()
	}
	far := f.Ratio >= clearShare || f.Ratio <= 1/clearShare
	switch {
	case f.Q <= clearLevel && far:
		f.Strength = Clear
	case p.Y > p.High || p.Y < p.Low:
		f.Strength = Look
	default:
		return Flag{}, false
	}
	return f, true
}
