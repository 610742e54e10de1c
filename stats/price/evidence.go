package price

import (
	"math"

	"pleatstat/stats/trend"
)

// weighAll computes the evidence of every price against its contents, corrected
// over all of them, and each product's point on the trend.
func (m *Model) weighAll() {
	m.point = make([]int, len(m.usable))
	at := map[Product]int{}
	for i, p := range m.trend.Points {
		at[Product{p.Maker, p.Part}] = i
	}
	tails := make([]trend.Tail, 0, len(m.usable))
	for k, i := range m.usable {
		p := &m.products[i]
		m.point[k] = at[Product{p.maker, p.part}]
		e := m.againstContents(m.subject(k))
		m.contents = append(m.contents, e)
		tails = append(tails, e.Tail)
	}
	trend.Correct(tails)
	for k := range m.contents {
		m.contents[k].Tail = tails[k]
	}
}

// Grades depend only on againstArea and againstContents. The distribution of
// sound prices enters nowhere else.

// againstArea compares a product's price with the trend of price on media area.
func (m *Model) againstArea(k int) trend.Evidence {
	if m.trend.TooFew {
		return noEvidence()
	}
	return m.trend.Evidence(m.point[k])
}

// noEvidence is the evidence on a price that cannot be compared: all NaN.
func noEvidence() trend.Evidence {
	nan := math.NaN()
	return trend.Evidence{Value: nan, Expected: nan, Low: nan, High: nan, Tail: trend.NoTail()}
}

// againstContents compares a price with what parts with the same contents usually
// cost; its p is not corrected for the number of products.
func (m *Model) againstContents(s subject) trend.Evidence {
	fair := math.Exp(m.expected(s.contents.Coef, s))
	low, high := s.contents.Outer()
	e := trend.Evidence{Value: math.Exp(s.log), Expected: fair, Low: fair * math.Exp(low), High: fair * math.Exp(high), Tail: trend.NoTail()}
	if by := math.Log(e.Ratio()); !math.IsNaN(by) {
		p := s.contents.Above(by)
		if by < 0 {
			p = 1 - p
		}
		e.Tail = trend.Tail{P: p, Q: p, PLikeliest: p, PClear: p, QClear: p}
	}
	return e
}

// ByAreaAlone returns what a product would usually cost by its media area and
// date alone, from a fit without its own price; NaN for a product that is not
// judged. The calibration uses it to measure what contents add.
func (m *Model) ByAreaAlone(p Product) float64 {
	i := m.find(p.Maker, p.Part)
	if m.crossValidated == nil || i < 0 || m.place[i] < 0 {
		return math.NaN()
	}
	k := m.place[i]
	return math.Exp(m.expected(m.areaOnly[k].Coef, m.subject(k)))
}
