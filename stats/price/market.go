package price

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats"
)

// Prior spreads of the terms that are not shrunk by leave-out error: wide
// enough to leave the data their say, narrow enough to decide where a log has
// no say (all openings on one day, one size of filter).
const (
	areaPrior  = 3.0  // of the exponent of area
	risePrior  = 0.10 // of the yearly price rise: log price a year
	bendPrior  = 0.03 // of the change of that rise at a knot
	leastScale = 1e-3 // a spread of prices below a thousandth is rounding
)

// market is what the regression sees: products with a price and an area, as
// numbers.
type market struct {
	y        []float64     // mean log price over the openings
	area     []float64     // log media area, centred
	openings []float64     // number of openings with a price
	time     [][]float64   // mean of the time basis over the openings
	within   [][][]float64 // rows of time basis and log price about their means, compressed
	x        [][]float64   // contents, standardised, no blanks
	content  []int         // by column of x: which content it belongs to, from 0
	pattern  []int         // of blanks, by product
	seed     uint64
	centre   float64         // of log area
	unknown  []*mat.SymDense // covariance of the contents that blanks leave open, by pattern; nil = none
}

// terms of a row of the regression: one, area, time basis, contents.
func (m *market) timeTerms() int { return len(m.time[0]) }

func (m *market) contentTerms() int {
	if m.x == nil {
		return 0
	}
	return len(m.x[0])
}

// withoutContents is the market judged by area and time alone.
func (m *market) withoutContents() *market {
	alone := *m
	alone.x, alone.content, alone.pattern, alone.unknown = nil, nil, nil, nil
	return &alone
}

// row returns the terms of product i as they stand between products.
func (m *market) row(i int) []float64 {
	row := append([]float64{1, m.area[i]}, m.time[i]...)
	if m.x != nil {
		row = append(row, m.x[i]...)
	}
	return row
}

// spread is the noise of the regression.
type spread struct {
	scale float64 // standard deviation of the log price of a product opened once
	share float64 // of its square that differs between openings of one product

	blanks []float64 // what its blanks add to the variance of a product, in units of scale²; nil = nothing
}

// variance of the mean log price of product i about its expectation, in units
// of scale².
func (m *market) variance(i int, s spread) float64 {
	v := 1 - s.share + s.share/m.openings[i]
	if s.blanks != nil {
		v += s.blanks[m.pattern[i]]
	}
	return v
}

// blankVariance is what blanks add to the variance of log prices, by pattern,
// with these coefficients of contents, in units of scale².
func (m *market) blankVariance(contents []float64, scale float64) []float64 {
	if m.unknown == nil {
		return nil
	}
	b := mat.NewVecDense(len(contents), contents)
	out := make([]float64, len(m.unknown))
	for k, c := range m.unknown {
		if c != nil {
			out[k] = mat.Inner(b, c, b) / (scale * scale)
		}
	}
	return out
}

// factored is the regression on some of the products.
type factored struct {
	*stats.Ridge
	index []int // products, in the order of their groups
	first []int // row of each product that stands between products
}

// factor prepares the regression on the products of index. Rows are divided by
// the standard deviation of their noise in units of the scale, so that they
// count alike; a product opened often counts little more than once. What its
// openings say about the rise of prices stands in rows of its own, which belong
// to its group.
func (m *market) factor(index []int, s settings) (*factored, error) {
	times, contents := m.timeTerms(), m.contentTerms()
	p := 2 + times + contents
	rows := len(index) + 1 + times
	for _, i := range index {
		rows += len(m.within[i])
	}
	d := stats.Design{NoIntercept: true, Columns: make([][]float64, p)}
	for j := range p {
		d.Columns[j] = make([]float64, 0, rows)
	}
	y, groups := make([]float64, 0, rows), make([]int, 0, rows)
	add := func(group int, terms []float64, response, sd float64) {
		for j := range p {
			v := 0.0
			if j < len(terms) {
				v = terms[j] / sd
			}
			d.Columns[j] = append(d.Columns[j], v)
		}
		y = append(y, response/sd)
		groups = append(groups, group)
	}
	f := &factored{index: index}
	buffer := make([]float64, 2+times)
	for g, i := range index {
		f.first = append(f.first, len(y))
		add(g, m.row(i), m.y[i], math.Sqrt(m.variance(i, s.spread)))
		for _, row := range m.within[i] {
			copy(buffer[2:], row[:times])
			add(g, buffer, row[times], math.Sqrt(s.share))
		}
	}
	for j := range 1 + times {
		prior := bendPrior
		switch j {
		case 0:
			prior = areaPrior
		case 1:
			prior = risePrior
		}
		unit := make([]float64, 2+times)
		unit[1+j] = 1
		add(len(index)+j, unit, 0, prior/s.scale)
	}
	weights := make([]float64, p)
	for j := range contents {
		weights[2+times+j] = 1
		if s.weights != nil {
			weights[2+times+j] = s.weights[j]
		}
	}
	ridge, err := stats.NewRidge(d, y, stats.RidgeOptions{Weights: weights, Groups: groups})
	if err != nil {
		return nil, err
	}
	f.Ridge = ridge
	return f, nil
}

// Belief about the price of one filter differing between two purchases, worth
// withinWeight purchases: common practice, no source.
const (
	withinPrior  = 0.05
	withinWeight = 5
	mostWithin   = 0.9 // at most this share of the variance lies within products
)

// withinShare is the share of scale² that differs between the openings of one
// product, over the products kept.
func (m *market) withinShare(index []int, scale float64) float64 {
	times := m.timeTerms()
	var tt, ty, yy, df float64
	for _, i := range index {
		for _, row := range m.within[i] {
			tt += row[0] * row[0]
			ty += row[0] * row[times]
			yy += row[times] * row[times]
		}
		df += m.openings[i] - 1
	}
	if tt > 0 { // less the straight rise of prices
		yy = math.Max(0, yy-ty*ty/tt)
		df = math.Max(0, df-1)
	}
	variance := (yy + withinWeight*withinPrior*withinPrior) / (df + withinWeight)
	return math.Min(variance/(scale*scale), mostWithin)
}
