package card

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// Opening is one opening of a part. Missing numbers are NaN.
type Opening struct {
	Line   int       `json:"line"`
	Opened string    `json:"opened"` // ISO 8601 at the precision logged; "" without a date
	Paid   float64   `json:"paid"`
	Today  float64   `json:"in_money_of_last_opening"` // price paid, in the money of the log's last opening
	Values []float64 `json:"values"`                   // in the order of the card's measures
	Moved  []Moved   `json:"moved"`                    // clear differences from the openings before
}

// Moved compares a measure of an opening with the last earlier year of the same
// part, base units. Missing numbers are NaN.
type Moved struct {
	Measure  string      `json:"measure"`
	Before   float64     `json:"before"` // mean of NBefore openings
	Now      float64     `json:"now"`
	NBefore  int         `json:"n_before"`
	N        int         `json:"n"`
	Since    int         `json:"since"` // year of the openings before
	Low      float64     `json:"low"`   // 95 % interval of the difference, a fraction where Relative
	High     float64     `json:"high"`
	Relative bool        `json:"relative"`
	Market   float64     `json:"market"` // for a price, the market's change in that time, as a factor; 1 otherwise
	Grade    trend.Grade `json:"grade"`  // clear, a hint (one of twenty comparisons by chance), or as expected
}

// keyMeasures are the measures shown on a card, in the order of a teardown; a
// card shows the first mostMeasures that the part has.
var keyMeasures = []string{"can_gauge", "pleats", "media_area", "total_mass", "can_mass", "media_mass", "element_mass", "media_length", "base_plate_gauge"}

// mostMeasures is how many fit on a line with date and price.
const mostMeasures = 4

// measuresOf returns the key measures that any of some openings has.
func (b *Basis) measuresOf(rows []int) []string {
	var out []string
	for _, name := range keyMeasures {
		values := b.Log.Floats(name)
		if values != nil && slices.ContainsFunc(rows, func(row int) bool { return !math.IsNaN(values[row]) }) {
			out = append(out, name)
		}
	}
	return out[:min(len(out), mostMeasures)]
}

// openings describes the openings of a part.
func (b *Basis) openings(rows []int, measures []string) ([]Opening, error) {
	out := make([]Opening, len(rows))
	columns := make([][]float64, len(measures))
	for k, name := range measures {
		columns[k] = b.Log.Floats(name)
	}
	prices, opened := b.Log.Floats("price"), b.Log.Floats("opened")
	for i, row := range rows {
		o := Opening{Line: b.Log.Line(row), Opened: b.Log.OpenedText(row), Paid: math.NaN(), Today: math.NaN()}
		if prices != nil && prices[row] > 0 {
			at := math.NaN()
			if opened != nil {
				at = opened[row]
			}
			o.Paid = prices[row]
			o.Today = o.Paid * b.Model.Carried(at)
		}
		for k := range columns {
			o.Values = append(o.Values, columns[k][row])
		}
		all, _, err := b.Against(row)
		if err != nil {
			return nil, err
		}
		for _, m := range all {
			if m.Grade == trend.Clear {
				o.Moved = append(o.Moved, m)
			}
		}
		out[i] = o
	}
	return out, nil
}

// Against compares an opening, in every measure, with the earlier ones of the
// same part; words are the categories that differ from the last earlier one.
func (b *Basis) Against(row int) (measures []Moved, words []roundup.WordChange, err error) {
	b.guard.Lock()
	defer b.guard.Unlock()
	found, known := b.against[row]
	if !known {
		if found.changes, found.words, err = b.today.Against([]int{row}); err != nil {
			return nil, nil, err
		}
		b.against[row] = found
	}
	for _, c := range found.changes {
		measures = append(measures, moved(c))
	}
	return measures, found.words, nil
}

// against is the comparison of an opening with the earlier ones of its part.
type against struct {
	changes []roundup.Change
	words   []roundup.WordChange
}

func moved(c roundup.Change) Moved {
	m := Moved{Measure: c.Measure, Before: c.Before, Now: c.Now, NBefore: c.NBefore, N: c.N, Since: c.Since,
		Low: c.Low, High: c.High, Relative: c.Relative, Market: c.MarketFactor, Grade: trend.AsExpected}
	switch {
	case c.Clear:
		m.Grade = trend.Clear
	case c.P <= 1-trend.Confidence:
		m.Grade = trend.Hint
	}
	return m
}

// byTime sorts rows by date, undated ones first, ties in the order of the log.
func byTime(log *dataset.Log, rows []int) []int {
	opened := log.Floats("opened")
	if opened != nil {
		slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(opened[a], opened[b]) })
	}
	return rows
}

// ProductOf returns the product of a row.
func ProductOf(log *dataset.Log, row int) price.Product {
	name := log.NameOf(row)
	return price.Product{Maker: name.Maker, Part: name.Part}
}
