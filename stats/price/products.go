package price

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/num"
)

// purchase is one opening with a price.
type purchase struct {
	log  float64 // logarithm of the price
	when float64 // decimal year, NaN without a date
	row  int
}

// product is what the log records of one product.
type product struct {
	log         *dataset.Log
	maker, part string
	labels      []dataset.Label // every label it is sold under if there are several; its own first
	purchases   []purchase
	latest      float64   // decimal year of the latest purchase, NaN without a date
	rows        []int     // its openings
	area        float64   // mean log media area, NaN where never recorded
	numbers     []float64 // mean logs, NaN where never recorded
	words       []string  // the most frequent word, "" where never recorded
	entryErrors int       // purchases left out as entry errors
}

// grossError is how far the log price of one opening may lie from the median of
// three or more of the same product; beyond a factor of 3 it counts as an entry
// error.
var grossError = math.Log(3)

// gather collects the products of a log in order of first appearance, with the
// claims at one particle size in µm.
func gather(log *dataset.Log, size float64) []product {
	ids := make([]int, log.Rows())
	for row := range ids {
		ids[row] = log.Product(row)
	}
	out := make([]product, log.Products())
	for i := range out {
		out[i] = product{log: log, latest: math.NaN(), numbers: make([]float64, len(numbers)), words: make([]string, len(words))}
	}
	prices, opened := log.Floats("price"), openedYears(log)
	for row, id := range ids {
		p := &out[id]
		if p.rows == nil {
			name := log.NameOf(row)
			p.maker, p.part = name.Maker, name.Part
		}
		p.rows = append(p.rows, row)
		if prices != nil && positive(prices[row]) {
			p.purchases = append(p.purchases, purchase{log: math.Log(prices[row]), when: opened[row], row: row})
		}
	}
	for _, labels := range log.Twins() {
		at := slices.IndexFunc(out, func(p product) bool { return p.maker == labels[0].Maker && p.part == labels[0].Part })
		out[at].labels = labels
	}
	for i := range out {
		out[i].summarise()
	}
	for i, v := range meanLogs(log.Floats("media_area"), ids, len(out)) {
		out[i].area = v
	}
	for k, name := range numbers {
		values := log.Floats(name)
		if name == claimed {
			values = claims(log, size)
		}
		for i, v := range meanLogs(values, ids, len(out)) {
			out[i].numbers[k] = v
		}
	}
	for k, name := range words {
		for i, w := range commonWords(log.Strings(name), ids, len(out)) {
			out[i].words[k] = w
		}
	}
	return out
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 1) }

func openedYears(log *dataset.Log) []float64 {
	if opened := log.Floats("opened"); opened != nil {
		return opened
	}
	out := make([]float64, log.Rows())
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}

// summarise sorts the purchases by date (stably, undated first), drops entry
// errors and finds the latest date.
func (p *product) summarise() {
	slices.SortStableFunc(p.purchases, func(a, b purchase) int { return cmp.Compare(a.when, b.when) })
	if len(p.purchases) >= 3 {
		logs := make([]float64, len(p.purchases))
		for i, b := range p.purchases {
			logs[i] = b.log
		}
		middle := num.Median(logs)
		kept := slices.DeleteFunc(slices.Clone(p.purchases), func(b purchase) bool { return math.Abs(b.log-middle) > grossError })
		p.entryErrors = len(p.purchases) - len(kept)
		p.purchases = kept
	}
	for _, b := range p.purchases {
		if !math.IsNaN(b.when) { // dates ascend
			p.latest = b.when
		}
	}
}

// named reports whether a product is sold under this name.
func (p *product) named(maker, part string) bool {
	return p.maker == maker && p.part == part || slices.Contains(p.labels, dataset.Label{Maker: maker, Part: part})
}

// last returns the last purchase: that with the latest date or, for a product
// without dates, the last in the log.
func (p *product) last() purchase { return p.purchases[len(p.purchases)-1] }

// meanLogs returns the mean logarithm of a column by product, NaN where no value
// is positive.
func meanLogs(values []float64, ids []int, products int) []float64 {
	sum, n := make([]float64, products), make([]float64, products)
	for row, v := range values {
		if positive(v) {
			sum[ids[row]] += math.Log(v)
			n[ids[row]]++
		}
	}
	for i := range sum {
		sum[i] /= n[i]
	}
	return sum
}

// commonWords returns the most frequent word of a column by product, the
// alphabetically first in a tie.
func commonWords(values []string, ids []int, products int) []string {
	type tally struct {
		word string
		n    int
	}
	counts := make([][]tally, products)
	for row, w := range values {
		if w == "" {
			continue
		}
		t := counts[ids[row]]
		at := slices.IndexFunc(t, func(x tally) bool { return x.word == w })
		if at < 0 {
			counts[ids[row]] = append(t, tally{w, 1})
		} else {
			t[at].n++
		}
	}
	out := make([]string, products)
	for i, t := range counts {
		if len(t) > 0 {
			out[i] = slices.MaxFunc(t, func(a, b tally) int { return cmp.Or(cmp.Compare(a.n, b.n), cmp.Compare(b.word, a.word)) }).word
		}
	}
	return out
}

// usable reports whether a product can be used: it has a price and an area.
func (p *product) usable() bool { return len(p.purchases) > 0 && !math.IsNaN(p.area) }

// byContents orders products by contents, then by date and price: an order that
// depends neither on the order of the rows nor, except between products with
// equal contents, on the price. Values are compared to nine decimals, since
// summation in another order changes later ones.
func byContents(a, b *product) int {
	order := cmp.Compare(rounded(a.area), rounded(b.area))
	for k := 0; order == 0 && k < len(numbers); k++ {
		order = cmp.Compare(rounded(a.numbers[k]), rounded(b.numbers[k]))
	}
	for k := 0; order == 0 && k < len(words); k++ {
		order = cmp.Compare(a.words[k], b.words[k])
	}
	return cmp.Or(order, cmp.Compare(rounded(a.latest), rounded(b.latest)),
		cmp.Compare(len(a.purchases), len(b.purchases)), cmp.Compare(a.meanPrice(), b.meanPrice()))
}

func rounded(v float64) float64 { return math.Round(v * 1e9) }

func (p *product) meanPrice() float64 {
	sum := 0.0
	for _, b := range p.purchases {
		sum += b.log
	}
	return sum / float64(len(p.purchases))
}
