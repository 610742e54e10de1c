package trend

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/stats/outlier"
)

// PriceResponse is the response whose points are prices: those are graded by the
// price verdict, which weighs more than one trend, and not here.
const PriceResponse = "price"

// Flags lists the points that fall off the given trends, trend by trend: the
// surer first, then the farther off.
//
// Being off any of the trends is one question, tested two-sided over the points of
// all of them together, so that more trends do not mean more false flags. The
// exception are trends of prices: a point outside its own range is a hint there,
// see price.Model.Flags for what it costs against everything inside.
//
// A hint is worth a second look; of n sound points about n/20 land there by
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

// Flag makes a flag of point i.
func (t *Trend) Flag(i int, kind FlagKind, grade Grade, tail Tail) Flag {
	p := t.Points[i]
	if t.Response != canGauge {
		p.Implied = math.NaN()
	}
	return Flag{Kind: kind, Grade: grade, Trend: t.ID, Maker: p.Maker, Part: p.Part, Lines: p.Lines, N: p.N,
		Predictor: p.X, Observed: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Ratio: p.Y / p.Expected, Tail: tail,
		ImpliedGauge: p.Implied, OfSize: ofSize(p.Y, p.Expected, p.Implied)}
}

// SortFlags puts overpriced before bargains, the surer first within each, then
// the farther off.
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

// pooledTails are the tails of every point of the trends that are not of prices,
// corrected over all of them. Where a p is missing each trend keeps its own
// correction.
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

// Correct sets the q of tails from their p, over all of them; where a p is missing
// they stay as they are.
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
