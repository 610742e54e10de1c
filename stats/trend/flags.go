package trend

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/stats/outlier"
)

// PriceResponse is the response of trends on price. Their points are graded by
// the price verdict, which combines several trends, and not here.
const PriceResponse = "price"

// Flags lists the points that fall off the given trends, trend by trend: higher
// grades first, then larger deviations.
//
// The points of all trends are tested together, two-sided, with one correction
// for multiple testing, so that more trends do not mean more false flags. The
// exception is trends of prices: there a point outside its own range is only a
// hint; see price.Model.Flags for the comparison with all contents.
//
// A hint is worth a second look; about n/20 of n sound points are hints by
// chance.
func Flags(trends []*Trend) []Flag {
	var all []Flag
	pooled := pooledTails(trends)
	for _, t := range trends {
		if t.TooFew {
			continue
		}
		var flags []Flag
		for i, p := range t.Points {
			if !(p.Expected > 0) || !(p.Y > 0) {
				continue
			}
			e := t.Evidence(i)
			kind, grade := OffTrend, AsExpected
			switch {
			case t.Response != PriceResponse:
				e.Tail = pooled[t][i]
				grade = e.Grade()
			case e.Side() > 0:
				kind, grade = Overpriced, Hint
			case e.Side() < 0:
				kind, grade = Bargain, Hint
			}
			if grade != AsExpected {
				flags = append(flags, t.Flag(i, kind, grade, e.Tail))
			}
		}
		SortFlags(flags)
		all = append(all, flags...)
	}
	return all
}

// Flag builds a flag for point i.
func (t *Trend) Flag(i int, kind FlagKind, grade Grade, tail Tail) Flag {
	p := t.Points[i]
	if t.Response != canGauge {
		p.Implied = math.NaN()
	}
	return Flag{Kind: kind, Grade: grade, Trend: t.ID, Maker: p.Maker, Part: p.Part, Lines: p.Lines, N: p.N,
		Predictor: p.X, Observed: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Ratio: p.Y / p.Expected, Tail: tail,
		ImpliedGauge: p.Implied, OfSize: ofSize(p.Y, p.Expected, p.Implied)}
}

// SortFlags sorts overpriced before bargains before off-trend, within each by
// grade, then by deviation, largest first.
func SortFlags(flags []Flag) {
	kinds := []FlagKind{Overpriced, Bargain, OffTrend}
	grades := []Grade{Clear, Probable, Hint}
	slices.SortStableFunc(flags, func(a, b Flag) int {
		return cmp.Or(
			cmp.Compare(slices.Index(kinds, a.Kind), slices.Index(kinds, b.Kind)),
			cmp.Compare(slices.Index(grades, a.Grade), slices.Index(grades, b.Grade)),
			cmp.Compare(math.Abs(math.Log(b.Ratio)), math.Abs(math.Log(a.Ratio))),
		)
	})
}

// pooledTails returns the two-sided tails of every point of the trends that are
// not on price, corrected over all of them together. Where a p is missing each
// trend keeps its own correction.
func pooledTails(trends []*Trend) map[*Trend][]Tail {
	var all []Tail
	for _, t := range trends {
		if !t.TooFew && t.Response != PriceResponse {
			for _, p := range t.Points {
				all = append(all, p.Either)
			}
		}
	}
	Correct(all)
	each := map[*Trend][]Tail{}
	for _, t := range trends {
		if !t.TooFew && t.Response != PriceResponse {
			each[t], all = all[:len(t.Points)], all[len(t.Points):]
		}
	}
	return each
}

// Correct sets the q values of tails from their p values, over all of them. Where
// a p is missing they are left unchanged.
func Correct(all []Tail) {
	n := len(all)
	e := outlier.Evidence{Even: make([]float64, n), Likeliest: make([]float64, n), Any: make([]float64, n)}
	for i, t := range all {
		e.Even[i], e.Likeliest[i], e.Any[i] = t.P, t.PLikeliest, t.PClear
	}
	clear, probable, err := e.Q()
	for i := range all {
		if err == nil {
			all[i].Q, all[i].QClear = probable[i], clear[i]
		}
	}
}
