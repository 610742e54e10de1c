package drift

import (
	"math"
	"slices"
)

// A part counts as an example of a change where its own readings differ by half
// to twice the reported change.
const (
	leastShown = 0.5
	mostShown  = 2.0
)

// example finds the part whose own readings before and after best illustrate a
// change: among those that show about the reported change, the one with most
// evidence (openings on either side of a step, years along a slope), not the one
// with the largest change. Prices have no example: their change is relative to
// the market.
func (k *candidate) example() {
	if !k.Moved() || k.m.scale == toMarket {
		return
	}
	best := 0.0
	for _, b := range k.blocks {
		then, now, years := k.thenAndNow(b)
		if then == nil || now == nil {
			continue
		}
		t, n := k.reading(then), k.reading(now)
		wanted := k.Statement.By * years
		weight := years
		if k.Statement.Shape == AsStep {
			wanted, weight = k.Statement.By, float64(len(then)*len(now))/float64(len(then)+len(now))
		}
		share := (n.Value - t.Value) / wanted
		if !(share > 0) {
			continue
		}
		if share >= leastShown && share <= mostShown {
			weight += 1000 // any of these is preferred to any other
		}
		if weight > best {
			best, k.Statement.Example, k.Statement.Then, k.Statement.Now = weight, b.part, t, n
		}
	}
}

// thenAndNow returns the openings of a part before and after a change, and the
// years of slope between them; nil where the part does not have both.
func (k *candidate) thenAndNow(b block) (then, now []int32, years float64) {
	from := math.Inf(-1)
	if !k.Statement.From.IsZero() {
		from = Year(k.Statement.From)
	}
	for _, at := range b.at {
		if k.o.when[at] < from {
			then = append(then, at)
		} else {
			now = append(now, at)
		}
	}
	if k.Statement.Shape == AsStep || now == nil {
		return then, now, 0
	}
	start := from
	if then == nil {
		then, start = now[:1], k.o.when[now[0]]
	}
	now = now[len(now)-1:]
	if years = k.o.when[now[0]] - start; years < minSpan {
		return nil, nil, 0
	}
	return then, now, years
}

// reading summarises some openings of a part.
func (k *candidate) reading(at []int32) Reading {
	r := Reading{N: len(at), When: toTime(k.o.when[at[len(at)-1]])}
	for _, i := range at {
		r.Value += k.values[i] / float64(len(at))
		r.Lines = append(r.Lines, k.o.line(i))
	}
	slices.Sort(r.Lines)
	return r
}
