package hedonic

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Prior spreads of the terms that are always in: wide enough to leave the data
// their say, narrow enough to decide where a log has no say (all openings on one
// day, one size of filter).
const (
	areaPrior  = 3.0  // of the exponent of area
	risePrior  = 0.10 // of the yearly price rise: log price a year
	bendPrior  = 0.03 // of the change of that rise at a knot
	leastScale = 1e-3 // a spread of prices below a thousandth is rounding
)

// Market is what the regression sees: products with a price and a media area, as
// numbers, in an order that does not depend on the price. Time and Within share
// one basis in which the last date of all is 0.
type Market struct {
	Y        []float64       // mean log price over the openings
	Area     []float64       // log media area, centred
	Openings []float64       // number of openings with a price
	Time     [][]float64     // mean of the time basis over the openings
	LastTime [][]float64     // time basis of the last one, whose price is judged
	Within   [][][]float64   // rows of time basis and log price about their means, compressed; nil for one opening
	X        [][]float64     // contents, standardised, no blanks; nil = none are used
	Content  []int           // by column of X: which content it belongs to, from 0
	More     []int           // by column of X: 1 = a higher value is more inside, -1 = less, 0 = neither
	Pattern  []int           // of blanks, by product
	Unknown  []*mat.SymDense // covariance of the contents that blanks leave open, by pattern; nil = none
	Inner    float64         // share of sound prices in the narrower range of LeftOut
	Outer    float64         // and in the wider
	Seed     uint64          // of the robust start
}

func (m *Market) timeTerms() int { return len(m.Time[0]) }

func (m *Market) contentTerms() int {
	if m.X == nil {
		return 0
	}
	return len(m.X[0])
}

// withoutContents is the market judged by area and time alone.
func (m *Market) withoutContents() *Market {
	alone := *m
	alone.X, alone.Content, alone.More, alone.Pattern, alone.Unknown = nil, nil, nil, nil, nil
	return &alone
}

// terms of a row of the regression: one, area, time basis, contents.
func (m *Market) terms() int { return 2 + m.timeTerms() + m.contentTerms() }

// rowTo writes the terms of product i as they stand between products.
func (m *Market) rowTo(i int, row []float64) {
	row[0], row[1] = 1, m.Area[i]
	copy(row[2:], m.Time[i])
	if m.X != nil {
		copy(row[2+m.timeTerms():], m.X[i])
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
func (m *Market) variance(i int, s spread) float64 {
	return m.varianceOf(i, m.Openings[i], s)
}

// varianceOf is the same of so many of its openings.
func (m *Market) varianceOf(i int, openings float64, s spread) float64 {
	v := s.of(openings)
	if s.blanks != nil {
		v += s.blanks[m.Pattern[i]] / (s.scale * s.scale)
	}
	return v
}

// of is the variance of the mean log price of so many openings, without blanks.
func (s spread) of(openings float64) float64 { return 1 - s.share + s.share/openings }

// blankVariance is what blanks add to the variance of log prices, by pattern,
// with these coefficients of contents.
func (m *Market) blankVariance(contents []float64) []float64 {
	if m.Unknown == nil {
		return nil
	}
	b := mat.NewVecDense(len(contents), contents)
	out := make([]float64, len(m.Unknown))
	for k, c := range m.Unknown {
		if c != nil {
			out[k] = mat.Inner(b, c, b)
		}
	}
	return out
}

// priors are the cross-products that priors of area and time come to.
func (m *Market) priors(scale float64) *normalEquations {
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
func (m *Market) add(c *normalEquations, i int, s *Fit, weight float64, row []float64) {
	m.rowTo(i, row)
	c.add(0, row, m.Y[i]-s.middle, weight/m.variance(i, s.spread))
	times := m.timeTerms()
	for _, r := range m.Within[i] {
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
func (m *Market) withinShare(index []int, scale float64) float64 {
	times := m.timeTerms()
	var tt, ty, yy, df float64
	for _, i := range index {
		for _, row := range m.Within[i] {
			tt += row[0] * row[0]
			ty += row[0] * row[times]
			yy += row[times] * row[times]
		}
		df += m.Openings[i] - 1
	}
	if tt > 0 { // less the straight rise of prices
		yy = math.Max(0, yy-ty*ty/tt)
		df = math.Max(0, df-1)
	}
	variance := (yy + withinWeight*withinPrior*withinPrior) / (df + withinWeight)
	return math.Min(variance/(scale*scale), mostWithin)
}
