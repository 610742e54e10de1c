package trend

import (
	"cmp"
	"math"
	"slices"
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
// A clear flag has q <= 0.05 (Benjamini–Hochberg over the points of its trend,
// one-sided for price, two-sided elsewhere) and lies at least 25 % off the
// line. A point outside its own 95 % prediction range but not clear is worth a
// second look; of n clean points about n/20 land there by chance.
func Flags(trends []*Trend) []Flag {
	var all []Flag
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
		P: p.PTwo, Q: p.QTwo,
	}
	if t.Response == priceResponse {
		if p.Residual > 0 {
			f.Kind, f.P, f.Q = Overpriced, p.PHigh, p.QHigh
		} else {
			f.Kind, f.P, f.Q = Bargain, p.PLow, p.QLow
		}
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
