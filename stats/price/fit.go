package price

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"pleatstat/dataset"
	"pleatstat/stats/hedonic"
	"pleatstat/stats/imputation"
	"pleatstat/stats/linear"
	"pleatstat/stats/trend"
)

// LeastProducts is the least number of products with a price and an area for
// prices to be judged: with fewer, a range contains nearly any price.
const LeastProducts = trend.LeastPoints

// timeKnots is the number of knots of the time effect, at which the rise of
// prices may change its rate.
const timeKnots = 4

// Options are the choices of Fit; the zero value means the defaults.
type Options struct {
	Seed uint64 // seed of the robust start; 0 = 1
	// WithClaims includes the efficiency claimed on the box, at the particle size
	// most often claimed, among the contents.
	WithClaims bool
}

// Model judges the products of one log. It is safe for concurrent use.
type Model struct {
	log      *dataset.Log
	options  Options
	products []product // all products of the log
	usable   []int     // indices of products with price and area, in the order of the regression
	place    []int     // index into usable of each product, -1 for none
	// claimedAt is the particle size in µm of the claims used; NaN where they give
	// none.
	claimedAt float64

	coding         coding
	imputed        imputation.Imputed
	time           linear.LinearSpline
	middle         []float64      // mean of the time basis over all dated purchases
	market         hedonic.Market // regression on contents
	whole          *hedonic.Fit   // fit to all products, which gives the rise of prices; nil with too few products
	crossValidated []hedonic.LeftOut
	areaOnly       []hedonic.LeftOut
	trend          *trend.Trend     // of price on media area, in the money of the last opening
	point          []int            // index into usable → index of the point of the trend
	contents       []trend.Evidence // by index into usable: price against contents
	rank           []int            // by index into usable
	areas          []float64        // log media areas of the usable products, ascending
	judged         []Judgement      // by index into usable
	warnings       []string
}

// Fit fits the price model and judges every product of a log.
//
// The model regresses log price on log media area, contents (numbers and
// categories) and a smooth time effect, averaged over which contents matter. A
// product's openings count as one observation. Missing contents are imputed from
// the product's other contents, and widen its range. Overpriced products are
// down-weighted, so that they do not determine what is usual. Every product is
// judged by a fit without its own price. See package hedonic.
//
// A log with too few products is not an error: its judgements say so.
func Fit(log *dataset.Log, o Options) (*Model, error) {
	size := claimedSize(log)
	products := gather(log, size)
	m := &Model{log: log, claimedAt: size, options: o, products: products, place: make([]int, len(products))}
	for i := range products {
		if products[i].usable() {
			m.usable = append(m.usable, i)
		}
	}
	slices.SortStableFunc(m.usable, func(a, b int) int { return byContents(&products[a], &products[b]) })
	for i := range m.place {
		m.place[i] = -1
	}
	for k, i := range m.usable {
		m.place[i] = k
	}
	var err error
	if len(m.usable) >= LeastProducts {
		m.prepare()
		if m.crossValidated, m.areaOnly, m.whole, err = m.market.CrossValidate(); err != nil {
			return nil, err
		}
		m.warnings = append(m.warnings, m.unexpected()...)
		if m.options.WithClaims {
			m.warnings = append(m.warnings, m.claimsCount())
		}
	}
	m.warnings = append(m.warnings, dataset.SpeltTwice(log)...)
	if m.trend, err = m.Trend(false); err != nil {
		return nil, err
	}
	if m.crossValidated != nil {
		m.weighAll()
		m.setRanks()
		m.judgeAll()
	}
	return m, nil
}

// prepare codes the usable products for the regression.
func (m *Model) prepare() {
	var used []product
	var dates []float64
	for _, i := range m.usable {
		used = append(used, m.products[i])
		for _, b := range m.products[i].purchases {
			dates = append(dates, b.when)
		}
	}
	m.coding = newCoding(used, m.options.WithClaims)
	m.warnings = m.coding.warnings
	m.time = linear.NewLinearSpline(dates, timeKnots)
	m.middle = m.middleTime(dates)

	coded := make([][]float64, len(used))
	for k, p := range used {
		coded[k] = m.coding.row(p)
	}
	m.imputed = imputation.Impute(coded)
	m.market = hedonic.Market{Inner: innerRange, Outer: trend.Confidence, Seed: m.options.Seed}
	k := &m.market
	for i, p := range used {
		k.Y = append(k.Y, p.meanPrice())
		k.LastTime = append(k.LastTime, m.basis(p.last().when))
		k.Area = append(k.Area, p.area-m.coding.area.centre)
		k.Openings = append(k.Openings, float64(len(p.purchases)))
		mean, within := m.timeRows(p)
		k.Time = append(k.Time, mean)
		k.Within = append(k.Within, within)
		k.X = append(k.X, m.imputed.X[i][1:1+m.coding.contents])
	}
	if m.coding.contents == 0 {
		k.X = nil
		return
	}
	for c, col := range m.coding.columns[:m.coding.contents] {
		n := 0
		if c > 0 {
			n = k.Content[c-1]
			if col.content != m.coding.columns[c-1].content {
				n++
			}
		}
		k.Content = append(k.Content, n)
		k.More = append(k.More, col.more)
	}
	k.Pattern = m.imputed.Pattern
	for _, o := range m.imputed.Open {
		k.Unknown = append(k.Unknown, m.contentsOf(o.Spread))
	}
}

// contentsOf returns the block of the contents, without area and auxiliary
// measures.
func (m *Model) contentsOf(s *mat.SymDense) *mat.SymDense {
	if s == nil {
		return nil
	}
	return s.SliceSym(1, 1+m.coding.contents).(*mat.SymDense)
}

// middleTime returns the mean of the time basis over all dated purchases, which
// is used for undated ones.
func (m *Model) middleTime(dates []float64) []float64 {
	sum, at := make([]float64, m.time.Len()), make([]float64, m.time.Len())
	n := 0.0
	for _, when := range dates {
		if math.IsNaN(when) {
			continue
		}
		m.time.At(when, at)
		for j, v := range at {
			sum[j] += v
		}
		n++
	}
	for j := range sum {
		sum[j] /= math.Max(n, 1)
	}
	return sum
}

// timeRows returns the mean of a product's time basis and, where it was bought
// several times, the rows of basis and log price as deviations from their means.
func (m *Model) timeRows(p product) (mean []float64, within [][]float64) {
	terms := m.time.Len()
	mean = make([]float64, terms)
	for _, b := range p.purchases {
		row := append(m.basis(b.when), b.log)
		for j := range mean {
			mean[j] += row[j] / float64(len(p.purchases))
		}
		within = append(within, row)
	}
	if len(within) < 2 {
		return mean, nil
	}
	price := p.meanPrice()
	for _, row := range within {
		for j := range mean {
			row[j] -= mean[j]
		}
		row[terms] -= price
	}
	return mean, linear.CompressRows(within)
}

// setRanks ranks the products by price relative to contents, dearest first.
func (m *Model) setRanks() {
	order := make([]int, len(m.usable))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(m.contents[b].Ratio(), m.contents[a].Ratio()), m.byName(m.usable[a], m.usable[b]))
	})
	m.rank = make([]int, len(order))
	for r, k := range order {
		m.rank[k] = r + 1
	}
}

func (m *Model) byName(a, b int) int {
	return compareNames(Product{m.products[a].maker, m.products[a].part}, Product{m.products[b].maker, m.products[b].part})
}

// Warnings states which contents could not be used, and why.
func (m *Model) Warnings() []string { return slices.Clone(m.warnings) }
