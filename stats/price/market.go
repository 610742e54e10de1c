package price

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Prior spreads of the terms that are always in: wide
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
	last     []float64     // log price of the last opening: the one judged
	openings []float64     // number of openings with a price
	time     [][]float64   // mean of the time basis over the openings
	lastTime [][]float64   // time basis of the last one
	within   [][][]float64 // rows of time basis and log price about their means, compressed
	x        [][]float64   // contents, standardised, no blanks
	content  []int         // by column of x: which content it belongs to, from 0
	more     []int         // by column of x: its direction, see column
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
	alone.x, alone.content, alone.more, alone.pattern, alone.unknown = nil, nil, nil, nil, nil
	return &alone
}

func (m *market) terms() int { return 2 + m.timeTerms() + m.contentTerms() }

// rowTo writes the terms of product i as they stand between products.
func (m *market) rowTo(i int, row []float64) {
	row[0], row[1] = 1, m.area[i]
	copy(row[2:], m.time[i])
	if m.x != nil {
		copy(row[2+m.timeTerms():], m.x[i])
	}
}

// spread is the noise of the regression.
type spread struct {
	scale float64 // standard deviation of the log price of a product opened once
	share float64 // of its square that differs between openings of one product

	blanks []float64 // variance its blanks add to the log price of a product, by pattern; nil = none
}

// variance of the mean log price of product i about its expectation, in units
// of scale².
func (m *market) variance(i int, s spread) float64 {
	return m.varianceOf(i, m.openings[i], s)
}

// varianceOf is the same of so many of its openings.
func (m *market) varianceOf(i int, openings float64, s spread) float64 {
	v := s.of(openings)
	if s.blanks != nil {
		v += s.blanks[m.pattern[i]] / (s.scale * s.scale)
	}
	return v
}

// of is the variance of the mean log price of so many openings, without blanks.
func (s spread) of(openings float64) float64 { return 1 - s.share + s.share/openings }

// blankVariance is what blanks add to the variance of log prices, by pattern,
// with these coefficients of contents.
func (m *market) blankVariance(contents []float64) []float64 {
	if m.unknown == nil {
		return nil
	}
	b := mat.NewVecDense(len(contents), contents)
	out := make([]float64, len(m.unknown))
	for k, c := range m.unknown {
		if c != nil {
			out[k] = mat.Inner(b, c, b)
		}
	}
	return out
}

// priors are the cross-products that priors of area and time come to.
func (m *market) priors(scale float64) *normalEquations {
	c := newNormalEquations(m.terms())
	for j := range 1 + m.timeTerms() {
		prior := bendPrior
		switch j {
		case 0:
			prior = areaPrior
		case 1:
			prior = risePrior
		}
		c.a[(1+j)*c.n+1+j] = scale * scale / (prior * prior)
	}
	return c
}

// add adds product i to the cross-products, with a weight; row is scratch. Rows
// count by the variance of their noise in units of the scale's, so a product
// opened often counts little more than once. What its openings say about the
// rise of prices stands in rows of its own.
func (m *market) add(c *normalEquations, i int, s *settings, weight float64, row []float64) {
	m.rowTo(i, row)
	c.add(0, row, m.y[i]-s.middle, weight/m.variance(i, s.spread))
	times := m.timeTerms()
	for _, r := range m.within[i] {
		c.add(2, r[:times], r[times], weight/s.share)
	}
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
