package compare

import (
	"math"
	"slices"

	"pleatstat/dataset/catalogue"
)

// priceColumn is the price paid per filter.
const priceColumn = "price"

// lastPaid returns the price last paid among some rows, in the money of the log's
// last opening; NaN without any.
func (l *ledger) lastPaid(rows []int) float64 {
	last, paid := -1, l.values(priceColumn)
	for _, row := range rows {
		if paid != nil && !math.IsNaN(paid[row]) && (last < 0 || !(l.opened[row] < l.opened[last])) {
			last = row
		}
	}
	if last < 0 {
		return math.NaN()
	}
	return paid[last]
}

// onePrice replaces the mean price of each part, which decided what differs, by
// the price shown everywhere else, the last paid, and recomputes what is derived
// from it. A difference is dropped where the last prices differ in the other
// direction than the means.
func (l *ledger) onePrice(c *Comparison, subjects []subject) {
	for i := range c.Measures {
		m := &c.Measures[i]
		inputs, formula := catalogue.Formula(m.Column)
		if m.Column != priceColumn && !slices.Contains(inputs, priceColumn) {
			continue
		}
		for k := range m.Values {
			var v float64
			switch {
			case formula != nil:
				x := make([]float64, len(inputs))
				for j, column := range inputs {
					x[j] = c.mean(column, k)
				}
				v = formula(x)
			case k < len(c.Prices) && l.prices != nil:
				v = c.Prices[k].Price
			default:
				v = l.lastPaid(subjects[k].rows())
			}
			if m.Values[k].N > 0 && !math.IsNaN(v) {
				m.Values[k].Mean = v
			}
		}
		for k := range m.Differences {
			d, x, y := &m.Differences[k], m.Values[0], m.Values[k+1]
			d.Beyond = d.Beyond && d.By*(y.Mean-x.Mean) > 0
			if d.By, d.Ratio = y.Mean-x.Mean, y.Mean/x.Mean; x.Mean == 0 {
				d.Ratio = math.NaN()
			}
		}
		if m.Most >= 0 && slices.ContainsFunc(m.Values, func(v Value) bool { return v.Mean > m.Values[m.Most].Mean }) {
			m.Most = -1
		}
	}
}

// mean returns the mean of a column of a product; NaN where the product has none.
func (c *Comparison) mean(column string, place int) float64 {
	for _, m := range c.Measures {
		if m.Column == column {
			return m.Values[place].Mean
		}
	}
	for _, o := range c.Only {
		if o.Column == column && o.Place == place {
			return o.Value
		}
	}
	return math.NaN()
}
