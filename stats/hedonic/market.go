package hedonic

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Prior standard deviations of the terms that are always in the model: wide enough
// not to affect a coefficient that the data determine, narrow enough to determine it
// otherwise (all openings on one day, only one size of filter).
const (
	areaPrior  = 3.0  // of the exponent of area
	risePrior  = 0.10 // of the price rise, in log price per year
	bendPrior  = 0.03 // of the change of that rise at a knot
	leastScale = 1e-3 // lower limit of the scale, in log price: less is rounding
)

// Market is the data of the regression: products with a price and a media area, in
// an order that must not depend on the price. Time, LastTime and Within share one
// time basis, which is 0 at the last date of all. Slices are by product unless
// stated otherwise.
type Market struct {
	Y        []float64       // mean log price over the openings
	Area     []float64       // log media area, centred
	Openings []float64       // number of openings with a price
	Time     [][]float64     // mean of the time basis over the openings
	LastTime [][]float64     // time basis of the last opening, whose price is judged
	Within   [][][]float64   // rows of time basis and log price about their means, compressed; nil for one opening
	X        [][]float64     // contents, standardised, blanks filled; nil = not used
	Content  []int           // by column of X: the content it belongs to, from 0
	More     []int           // by column of X: 1 = a higher value means more contents, -1 = less, 0 = neither
	Pattern  []int           // pattern of blanks, an index into Unknown
	Unknown  []*mat.SymDense // by pattern: covariance of the blank contents; nil = no blanks
	Inner    float64         // share of prices that are not overpriced in the narrower range of LeftOut
	Outer    float64         // the same for the wider range
	Seed     uint64          // of the robust start
}

func (m *Market) timeTerms() int { return len(m.Time[0]) }

func (m *Market) contentTerms() int {
	if m.X == nil {
		return 0
	}
	return len(m.X[0])
}

// withoutContents returns the market with area and time as its only terms.
func (m *Market) withoutContents() *Market {
	alone := *m
	alone.X, alone.Content, alone.More, alone.Pattern, alone.Unknown = nil, nil, nil, nil, nil
	return &alone
}

// terms returns the number of terms of the regression: 1, area, time basis, contents.
func (m *Market) terms() int { return 2 + m.timeTerms() + m.contentTerms() }

// rowTo sets row to the terms of the mean log price of product i.
func (m *Market) rowTo(i int, row []float64) {
	row[0], row[1] = 1, m.Area[i]
	copy(row[2:], m.Time[i])
	if m.X != nil {
		copy(row[2+m.timeTerms():], m.X[i])
	}
}

// spread holds the variances of the regression.
type spread struct {
	scale float64 // standard deviation of the log price of a product opened once
	share float64 // share of scale² that is between openings of the same product

	blanks []float64 // by pattern: variance that blanks add to the log price; nil = no blanks
}

// variance returns the variance of the mean log price of product i about its
// expectation, in units of scale².
func (m *Market) variance(i int, s spread) float64 {
	return m.varianceOf(i, m.Openings[i], s)
}

// varianceOf returns the same for a mean over the given number of openings.
func (m *Market) varianceOf(i int, openings float64, s spread) float64 {
	v := s.of(openings)
	if s.blanks != nil {
		v += s.blanks[m.Pattern[i]] / (s.scale * s.scale)
	}
	return v
}

// of returns the variance of a mean log price over the given number of openings,
// without the part of blanks, in units of scale².
func (s spread) of(openings float64) float64 { return 1 - s.share + s.share/openings }

// blankVariance returns, by pattern, the variance that blanks add to log prices,
// given the coefficients of contents.
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

// priors returns normal equations that hold the priors of area and time.
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

// add adds product i to the normal equations, with a weight; row is workspace. Its
// mean counts inversely to its variance, so that a product opened often counts
// little more than one opened once. The deviations of its openings from their mean,
// which bear on the rise of prices, are separate rows.
func (m *Market) add(c *normalEquations, i int, s *Fit, weight float64, row []float64) {
	m.rowTo(i, row)
	c.add(0, row, m.Y[i]-s.middle, weight/m.variance(i, s.spread))
	times := m.timeTerms()
	for _, r := range m.Within[i] {
		c.add(2, r[:times], r[times], weight/s.share)
	}
}

// The prior for the scatter between purchases of the same filter is a standard
// deviation of log price of withinPrior, with the weight of withinWeight purchases:
// common practice, no source.
const (
	withinPrior  = 0.05
	withinWeight = 5
	mostWithin   = 0.9 // largest share of the variance within products
)

// withinShare returns the share of scale² that is between openings of the same
// product, estimated from the products of index.
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
	if tt > 0 { // remove the linear rise of prices
		yy = math.Max(0, yy-ty*ty/tt)
		df = math.Max(0, df-1)
	}
	variance := (yy + withinWeight*withinPrior*withinPrior) / (df + withinWeight)
	return math.Min(variance/(scale*scale), mostWithin)
}
