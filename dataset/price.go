package dataset

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/reader"
)

// settlePrice converts every price to the price of one filter in the log's main
// currency, and returns that currency ("" if none is named). The currency of a
// row is the one in its price cell, else in price_currency, else in the header.
// Prices in another currency are converted at the given rates; without a rate
// they become NaN and are reported.
func (l *Log) settlePrice(p *reader.Pass, rates map[string]float64) string {
	c := l.byName["price"]
	if c == nil {
		return ""
	}
	heading := cellparse.Currency(l.layout.Headings[c.Field].Match.Unit)
	currency := l.byName["price_currency"]
	named := l.currencies(currency)
	count := map[string]int{}
	of := func(row int) string {
		if s := p.PriceCurrency(row); s != "" {
			return s
		}
		if currency != nil {
			if s := named[currency.Codes[row]]; s != "" {
				return s
			}
		}
		return heading
	}
	order := []string{}
	for row, v := range c.Num {
		if math.IsNaN(v) {
			continue
		}
		s := of(row)
		if count[s] == 0 {
			order = append(order, s)
		}
		count[s]++
	}
	main := ""
	for _, s := range order {
		if s != "" && (main == "" || count[s] > count[main]) {
			main = s
		}
	}
	l.perFilter(c, p.Packed)
	l.otherCurrencies(c, main, of, rates)
	if main != "" && count[""] > 0 {
		l.report(c, l.layout.Line, c.Header, Note, fmt.Sprintf("%d prices name no currency; %s is assumed", count[""], main))
	}
	return main
}

// currencies returns the currency that each word of the price_currency column
// stands for.
func (l *Log) currencies(c *cells.Column) []string {
	if c == nil {
		return nil
	}
	out := make([]string, len(c.Words.List))
	for code, word := range c.Words.List {
		if code == 0 {
			continue
		}
		if out[code] = cellparse.Currency(word); out[code] == "" {
			out[code] = word
			l.report(c, l.layout.Line, word, Note, "no currency that is known; taken as one of its own")
		}
	}
	return out
}

// perFilter divides the price of a pack by the number of filters in it, except
// in rows whose price cell stated the number itself.
func (l *Log) perFilter(c *cells.Column, stated []int32) {
	pack := l.byName["pack_quantity"]
	if pack == nil {
		return
	}
	for row, n := range pack.Num {
		_, divided := slices.BinarySearch(stated, int32(row))
		switch {
		case divided:
		case math.IsNaN(n) || math.IsNaN(c.Num[row]):
		case n >= 1:
			c.Num[row] /= n
		default:
			l.report(pack, int(l.lines[row]), fmt.Sprint(n), Unusable, "a pack holds at least one filter; the price is left out")
			c.Num[row] = math.NaN()
		}
	}
}

func (l *Log) otherCurrencies(c *cells.Column, main string, of func(int) string, rates map[string]float64) {
	for row, v := range c.Num {
		if math.IsNaN(v) {
			continue
		}
		if s := of(row); s != "" && s != main {
			if l.foreign == nil {
				l.foreign = map[int]foreignPrice{}
			}
			rate := l.rateOf(row, s, rates)
			l.foreign[row] = foreignPrice{v, s, rate > 0}
			if rate > 0 {
				c.Num[row] = v * rate
				continue
			}
			c.Num[row] = math.NaN()
			l.report(c, int(l.lines[row]), fmt.Sprintf("%g %s", v, s), Note, fmt.Sprintf("the price is in %s and most of the log in %s; it is left out; a column rate takes it in, or for example --rate %s=0.86, at the rate of the day", s, main, s))
		}
	}
}

// foreignPrice is a price in a currency other than the log's main currency.
type foreignPrice struct {
	price     float64
	currency  string
	converted bool
}

// Foreign counts the prices in one currency that were left out: it is not the
// log's main currency and has no rate.
type Foreign struct {
	Currency string `json:"currency"`
	Rows     int    `json:"rows"`
}

// ForeignPrices returns the currencies of the prices left out, the most
// frequent first.
func (l *Log) ForeignPrices() []Foreign {
	count := map[string]int{}
	for _, f := range l.foreign {
		if !f.converted {
			count[f.currency]++
		}
	}
	var out []Foreign
	for currency, n := range count {
		out = append(out, Foreign{currency, n})
	}
	slices.SortFunc(out, func(a, b Foreign) int {
		return cmp.Or(cmp.Compare(b.Rows, a.Rows), cmp.Compare(a.Currency, b.Currency))
	})
	return out
}
