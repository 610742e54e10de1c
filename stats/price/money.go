package price

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/trend"
)

// All prices are judged in the money of the log's last opening with a price: the
// time effect of the regression converts each from its own date. A price without
// a date is taken to be from the middle of the log's years; in a log without
// dates prices are not converted.

// basis returns the time basis at a date; for NaN, its mean over the log.
func (m *Model) basis(when float64) []float64 {
	at := make([]float64, m.time.Len())
	if math.IsNaN(when) {
		copy(at, m.middle)
	} else {
		m.time.At(when, at)
	}
	return at
}

// carry returns what a log price of a date gains up to the last opening; 0 where
// prices could not be judged.
func (m *Model) carry(when float64) float64 {
	if m.whole == nil {
		return 0
	}
	rise, coef := 0.0, m.whole.Coef()
	for t, v := range m.basis(when) { // the basis is 0 at the last opening
		rise -= coef[2+t] * v
	}
	return rise
}

// MoneyOf returns the decimal year to whose money all prices are converted; NaN
// for a log without dates, or one in which no price could be judged.
func (m *Model) MoneyOf() float64 {
	if m.whole == nil || !(m.time.High > 0) {
		return math.NaN()
	}
	return m.time.High
}

// Rise is how prices for the same contents changed over the log.
type Rise struct {
	PerYear float64 `json:"per_year"` // relative change per year: 0.04 = 4 %
	Low     float64 `json:"low"`      // 95 % interval
	High    float64 `json:"high"`
	From    float64 `json:"from"` // decimal years
	To      float64 `json:"to"`
	N       int     `json:"n"` // number of products
}

// leastYears is the least span of a log, in years, for a yearly rise to be
// reported.
const leastYears = 1.0

// Rise returns the mean yearly rise of prices; false where the log spans less than
// a year of prices or has too few.
func (m *Model) Rise() (Rise, bool) {
	years := m.time.High - m.time.Low
	if m.whole == nil || years < leastYears {
		return Rise{}, false
	}
	row := make([]float64, len(m.whole.Coef()))
	for t, v := range m.basis(m.time.Low) {
		row[2+t] = -v
	}
	rise, half := m.market.Estimate(m.whole, row)
	yearly := func(log float64) float64 { return math.Exp(log/years) - 1 }
	return Rise{PerYear: yearly(rise), Low: yearly(rise - half), High: yearly(rise + half),
		From: m.time.Low, To: m.time.High, N: len(m.usable)}, true
}

// OnArea is the trend that prices are judged by beside their contents.
var OnArea = trend.Define(trend.PriceResponse, "media_area", "")

// Trend fits price on media area in the money of the last opening: through the
// last price of each product, which is the one judged, or through every opening.
func (m *Model) Trend(perOpening bool) (*trend.Trend, error) {
	if m.trend != nil && !perOpening {
		return m.trend, nil
	}
	points, leftOut, err := trend.Collect(m.log, OnArea, perOpening)
	if err != nil {
		return nil, err
	}
	return trend.FitPoints(m.log, OnArea, m.inOneMoney(points, perOpening), leftOut, trend.Options{PerOpening: perOpening, Seed: m.options.Seed})
}

// inOneMoney converts the prices of points to the money of the last opening.
// Points of products come from the model, since a product's price and area may be
// recorded at different openings.
func (m *Model) inOneMoney(points []trend.Point, perOpening bool) []trend.Point {
	if perOpening {
		rows := rowsByLine(m.log)
		opened := openedYears(m.log)
		for i := range points {
			points[i].Y *= math.Exp(m.carry(opened[rows[points[i].Lines[0]]]))
		}
		return points
	}
	points = points[:0]
	for _, i := range m.usable {
		points = append(points, m.products[i].point(m))
	}
	return points
}

// point returns a product's point on the trend of price on media area.
func (p *product) point(m *Model) trend.Point {
	return trend.Point{Maker: p.maker, Part: p.part, Lines: p.lines(), N: len(p.purchases),
		X: math.Exp(p.area), Y: math.Exp(p.last().log + m.carry(p.last().when)), Kept: true}
}

// lines returns the lines of the log that record a product's prices, ascending.
func (p *product) lines() []int {
	var out []int
	for _, b := range p.purchases {
		out = append(out, p.log.Line(b.row))
	}
	slices.Sort(out)
	return out
}

func rowsByLine(log *dataset.Log) map[int]int {
	rows := make(map[int]int, log.Rows())
	for row := range log.Rows() {
		rows[log.Line(row)] = row
	}
	return rows
}

// Judges reports whether the log has enough products to judge prices by.
func (m *Model) Judges() bool { return m.crossValidated != nil }

// Products is the number of products with a price and a media area.
func (m *Model) Products() int { return len(m.usable) }

// ForMoney is a product and how much media its last price buys.
type ForMoney struct {
	Maker, Part  string
	AreaPerMoney float64 // cm² per unit of the log's currency, as paid
	Price        float64 // last paid
	MediaArea    float64 // cm²
}

// MostMedia ranks the products with a price and a media area by media per money,
// most first: the comparison left for a log too small to judge prices.
func (m *Model) MostMedia() []ForMoney {
	var out []ForMoney
	for _, i := range m.usable {
		p := &m.products[i]
		price, area := math.Exp(p.last().log), math.Exp(p.area)
		out = append(out, ForMoney{p.maker, p.part, area / price, price, area})
	}
	slices.SortStableFunc(out, func(a, b ForMoney) int {
		return cmp.Or(cmp.Compare(b.AreaPerMoney, a.AreaPerMoney), compareNames(Product{a.Maker, a.Part}, Product{b.Maker, b.Part}))
	})
	return out
}

// Carried returns the factor that converts a price of a decimal year (NaN without
// a date) to the money of the log's last opening; 1 where prices could not be
// judged.
func (m *Model) Carried(when float64) float64 { return math.Exp(m.carry(when)) }
