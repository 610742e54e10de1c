package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// Options are the choices of Parts; the zero value means the defaults.
type Options struct {
	Confidence float64 // with which a difference lies beyond what the bench can repeat; 0 = 0.95
}

// confidence is the default of Options.
const confidence = 0.95

// TooFewError says that there is nothing to compare.
type TooFewError struct{ Have int }

func (e *TooFewError) Error() string {
	return fmt.Sprintf("a comparison needs at least 2 products; got %d", e.Have)
}

// TwiceError says that a product was named twice.
type TwiceError struct{ Product price.Product }

func (e *TwiceError) Error() string { return fmt.Sprintf("%s is named twice", e.Product) }

// skipped are columns of a log that are not compared: names, and what belongs
// to the row and not to the part.
var skipped = []string{"row", "line", "product", "maker", "part", "opened", "opened_precision", "price_currency", "rate", "pack_quantity", "notes"}

// Parts compares products of a log, named as in the log: the mean of every
// measure over their openings, differences and ratios against the first, and
// whether a difference lies beyond what measuring the same thing again may give
// (see Difference and limit). The verdicts on price come from the model; a nil
// model leaves them out.
//
// Errors: *TooFewError, *TwiceError, *price.UnknownError.
func Parts(log *dataset.Log, products []price.Product, model *price.Model, o Options) (*Comparison, error) {
	if len(products) < 2 {
		return nil, &TooFewError{Have: len(products)}
	}
	if o.Confidence == 0 {
		o.Confidence = confidence
	}
	out := &Comparison{}
	rows := make([][]int, len(products))
	makers, parts := log.Strings("maker"), log.Strings("part")
	for k, p := range products {
		if slices.Contains(products[:k], p) {
			return nil, &TwiceError{Product: p}
		}
		c := Product{Maker: p.Maker, Part: p.Part}
		for row := range makers {
			if makers[row] == p.Maker && parts[row] == p.Part {
				rows[k] = append(rows[k], row)
				c.Lines = append(c.Lines, log.Line(row))
			}
		}
		if rows[k] == nil {
			return nil, unknown(log, p)
		}
		c.Openings = len(rows[k])
		out.Products = append(out.Products, c)
	}
	b := newBench(log, rows, o.Confidence)
	for _, name := range log.Names() {
		if slices.Contains(skipped, name) {
			continue
		}
		if values := log.Floats(name); values != nil {
			out.addMeasure(b, name)
		} else if words := log.Strings(name); words != nil {
			out.addWords(name, words, rows)
		}
	}
	if model != nil {
		out.PriceWarnings = model.Warnings()
		for _, p := range products {
			j, err := model.Judge(p.Maker, p.Part)
			if err != nil {
				return nil, err
			}
			out.Prices = append(out.Prices, j)
		}
	}
	out.Warnings = b.warnings(out.Measures)
	return out, nil
}

// unknown is the error about a product that is not in the log by this very
// name.
func unknown(log *dataset.Log, p price.Product) error {
	near, err := price.Resolve(log, p.String())
	if err == nil {
		return &price.UnknownError{Name: p.String(), Nearest: []price.Product{near}}
	}
	return err
}

func (c *Comparison) addMeasure(b *bench, name string) {
	m := Measure{Column: name, Most: -1}
	if known, ok := dataset.LookUp(name); ok {
		m.Derived = known.Derived
	}
	var have []int
	for k := range c.Products {
		v := b.value(name, k)
		m.Values = append(m.Values, v)
		if v.N > 0 {
			have = append(have, k)
		}
	}
	switch len(have) {
	case 0:
		return
	case 1:
		c.Only = append(c.Only, Only{Column: name, Place: have[0], Value: m.Values[have[0]]})
		return
	}
	for _, v := range m.Values[1:] {
		first := m.Values[0]
		d := Difference{By: v.Mean - first.Mean, Ratio: v.Mean / first.Mean, Limit: b.limit(name, first, v)}
		if first.Mean == 0 {
			d.Ratio = math.NaN()
		}
		d.Beyond = exceeds(math.Abs(d.By), d.Limit)
		m.Differences = append(m.Differences, d)
	}
	slices.SortStableFunc(have, func(i, j int) int { return cmp.Compare(m.Values[j].Mean, m.Values[i].Mean) })
	most, next := m.Values[have[0]], m.Values[have[1]]
	if exceeds(most.Mean-next.Mean, b.limit(name, most, next)) {
		m.Most = have[0]
	}
	c.Measures = append(c.Measures, m)
}

// exceeds leaves room for rounding: 0.49 less 0.48 is a little more than 0.01.
func exceeds(by, limit float64) bool { return by > limit*(1+1e-9) }

func (c *Comparison) addWords(name string, words []string, rows [][]int) {
	w := Words{Column: name}
	var have []int
	for k, r := range rows {
		found := frequent(words, r)
		w.Values = append(w.Values, found)
		if found != nil {
			have = append(have, k)
		}
	}
	switch len(have) {
	case 0:
		return
	case 1:
		c.Only = append(c.Only, Only{Column: name, Place: have[0], Value: Value{Mean: math.NaN(), SE: math.NaN()}, Words: w.Values[have[0]]})
		return
	}
	w.Differs = !slices.ContainsFunc(w.Values[have[0]], func(word string) bool {
		for _, k := range have[1:] {
			if !slices.Contains(w.Values[k], word) {
				return false
			}
		}
		return true
	})
	c.Words = append(c.Words, w)
}

// frequent lists the distinct words of some rows, the most frequent first, then
// by the alphabet.
func frequent(words []string, rows []int) []string {
	count := map[string]int{}
	var out []string
	for _, row := range rows {
		if w := words[row]; w != "" {
			if count[w] == 0 {
				out = append(out, w)
			}
			count[w]++
		}
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a, b)) })
	return out
}
