package roundup

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
)

// bench holds the openings of a log, in an order that does not depend on that of
// the file.
type bench struct {
	log      *dataset.Log
	rows     []opening
	problems []dataset.Problem
	undated  int
	year     int
	before   int
	products []product
	changes  []drift.Entry // drift entries of makers and parts, over the whole log
	today    *today        // nil = the bench compares years
}

// opening is one dated opening.
type opening struct {
	row, line, product int
	year               int
	when               float64 // decimal year
	doubtful           []string
}

// product is one part of one maker; openings ascend in time.
type product struct {
	maker, part string
	openings    []int // indices into bench.rows
}

// newBench collects the dated openings by product, products sorted by name.
func newBench(log *dataset.Log, problems []dataset.Problem) *bench {
	return gather(log, problems, math.NaN())
}

// gather is newBench that also includes undated openings, at the decimal year
// `undated` unless that is NaN.
func gather(log *dataset.Log, problems []dataset.Problem, undated float64) *bench {
	b := &bench{log: log, problems: problems}
	doubts := map[int][]string{}
	for _, p := range problems {
		if p.Severity == dataset.Doubtful && p.Name != "" {
			doubts[p.Line] = append(doubts[p.Line], p.Name)
		}
	}
	decimal := log.Floats("opened")
	index := map[int]int{}
	for row := range log.Rows() {
		when, _, ok := log.Opened(row)
		at := decimalYear(decimal, row)
		if !ok {
			b.undated++
			if at = undated; math.IsNaN(at) {
				continue
			}
		}
		place, seen := index[log.Product(row)]
		if !seen {
			place = len(b.products)
			index[log.Product(row)] = place
			name := log.NameOf(row)
			b.products = append(b.products, product{maker: name.Maker, part: name.Part})
		}
		year := when.Year()
		if !ok {
			year = int(at)
		}
		b.products[place].openings = append(b.products[place].openings, len(b.rows))
		b.rows = append(b.rows, opening{row: row, line: log.Line(row), product: place, year: year,
			when: at, doubtful: doubts[log.Line(row)]})
	}
	b.arrange()
	return b
}

func decimalYear(decimal []float64, row int) float64 {
	if decimal == nil {
		return math.NaN()
	}
	return decimal[row]
}

// arrange sorts products by name and openings by time.
func (b *bench) arrange() {
	for _, p := range b.products {
		slices.SortStableFunc(p.openings, func(i, j int) int { return cmp.Compare(b.rows[i].when, b.rows[j].when) })
	}
	slices.SortStableFunc(b.products, func(p, q product) int {
		return cmp.Or(cmp.Compare(p.maker, q.maker), cmp.Compare(p.part, q.part))
	})
	for at, p := range b.products {
		for _, k := range p.openings {
			b.rows[k].product = at
		}
	}
}

// years lists the years with openings, ascending.
func (b *bench) years() []int {
	var out []int
	for _, o := range b.rows {
		out = append(out, o.year)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// values returns a measure, one value per opening of b.rows; NaN where it is
// missing or rests on a doubtful reading.
func (b *bench) values(column string) []float64 {
	all := b.log.Floats(column)
	inputs := catalogue.Inputs(column)
	out := make([]float64, len(b.rows))
	for i, o := range b.rows {
		out[i] = math.NaN()
		if all == nil || math.IsInf(all[o.row], 0) || o.rests(inputs) {
			continue
		}
		out[i] = all[o.row]
	}
	return out
}

func (o opening) rests(inputs []string) bool {
	return slices.ContainsFunc(o.doubtful, func(name string) bool { return slices.Contains(inputs, name) })
}

// logs returns natural logarithms, NaN where a value is not positive.
func logs(x []float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		if out[i] = math.NaN(); v > 0 {
			out[i] = math.Log(v)
		}
	}
	return out
}

// mean is the mean of some openings.
type mean struct {
	value, when float64 // mean value and mean date; NaN of no openings
	n, year     int     // number of openings; year of the last
	lines       []int   // ascending
}

// meanOf returns the mean of the values of some openings, which ascend in time.
func (b *bench) meanOf(values []float64, openings []int, in func(opening) bool) mean {
	var m mean
	for _, i := range openings {
		if o := b.rows[i]; !math.IsNaN(values[i]) && in(o) {
			m.value += values[i]
			m.when += o.when
			m.n, m.year = m.n+1, o.year
			m.lines = append(m.lines, o.line)
		}
	}
	slices.Sort(m.lines)
	m.value /= float64(m.n)
	m.when /= float64(m.n)
	return m
}

// againstBefore returns the means of a product's openings of interest and of
// those of the last year before them with a value; was.n is 0 where it lacks
// either.
func (b *bench) againstBefore(p product, values []float64) (was, now mean) {
	if now = b.meanOf(values, p.openings, b.thisYear); now.n == 0 {
		return was, now
	}
	last := 0
	for _, i := range p.openings { // ascending in time
		if b.earlier(b.rows[i]) && !math.IsNaN(values[i]) {
			last = b.rows[i].year
		}
	}
	return b.meanOf(values, p.openings, func(o opening) bool { return o.year == last && b.earlier(o) }), now
}

// thisYear reports whether an opening is one of interest: of the year or, today,
// selected.
func (b *bench) thisYear(o opening) bool {
	if b.today != nil {
		return b.today.looked[o.row]
	}
	return o.year == b.year
}

func (b *bench) lastYear(o opening) bool { return b.before != 0 && o.year == b.before }
func (b *bench) upToNow(o opening) bool  { return o.year <= b.year }

// opened counts the openings of the year and of the year before.
func (b *bench) opened() Opened {
	c := Opened{Spent: math.NaN(), SpentBefore: math.NaN(), Undated: b.undated}
	prices := b.log.Floats("price")
	makers := map[string]bool{}
	products, earlier := map[int]bool{}, map[int]bool{}
	add := func(sum *float64, n *int, price float64) {
		if math.IsNaN(price) {
			return
		}
		if *n++; *n == 1 {
			*sum = 0
		}
		*sum += price
	}
	for _, o := range b.rows {
		paid := math.NaN()
		if prices != nil {
			paid = prices[o.row]
		}
		if o.year <= b.year {
			c.Total++
		}
		switch {
		case o.year == b.year:
			c.Openings++
			products[o.product] = true
			if m := b.products[o.product].maker; m != "" {
				makers[m] = true
			}
			add(&c.Spent, &c.Priced, paid)
		case o.year < b.year:
			earlier[o.product] = true
			if b.lastYear(o) {
				c.OpeningsBefore++
				add(&c.SpentBefore, &c.PricedBefore, paid)
			}
		}
	}
	c.Products, c.Makers = len(products), len(makers)
	for p := range products {
		if earlier[p] {
			c.Again++
		} else {
			c.NewProducts++
		}
	}
	return c
}

// until returns the date of the last opening of the year; zero where that is in
// December or not known to the month.
func (b *bench) until() time.Time {
	var last time.Time
	for _, o := range b.rows {
		if o.year != b.year {
			continue
		}
		when, precision, _ := b.log.Opened(o.row)
		if precision == "year" {
			return time.Time{}
		}
		if when.After(last) {
			last = when
		}
	}
	if last.Month() == time.December {
		return time.Time{}
	}
	return last
}

// doubtfulOf lists the doubtful readings of one year.
func (b *bench) doubtfulOf(year int) []dataset.Problem {
	lines := map[int]bool{}
	for _, o := range b.rows {
		if o.year == year {
			lines[o.line] = true
		}
	}
	var out []dataset.Problem
	for _, p := range b.problems {
		if p.Severity == dataset.Doubtful && lines[p.Line] {
			out = append(out, p)
		}
	}
	return out
}

func (b *bench) warnings() []string {
	var out []string
	switch {
	case b.undated == 1:
		out = append(out, "one opening has no date and is in no year's roundup")
	case b.undated > 1:
		out = append(out, fmt.Sprintf("%d openings have no date and are in no year's roundup", b.undated))
	}
	return out
}
