package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Options are the choices of a comparison; the zero value means the defaults.
type Options struct {
	Confidence float64 // level of the limits by repeatability; 0 = trend.Confidence
	// Changes are those of drift.Analyse over the log; nil = Parts, Makers and
	// ThenAndNow compute them.
	Changes []drift.Entry
	Seed    uint64 // for drift.Analyse where Changes is nil
	// Prices, where it judges any, gives the rise of prices, and the one price of
	// each part that is shown (see Value); otherwise the rise is estimated from
	// the log.
	Prices *price.Model
	// Doubted are readings that are probably slips, from check.Run: they count as
	// blank.
	Doubted []dataset.CellRef
}

const (
	// confidence is the default of Options.Confidence.
	confidence = trend.Confidence
	// falseRate is the false discovery rate over the measures of one comparison.
	falseRate = trend.FalseDiscoveryRate
)

// TooFewError reports that there are fewer than two products to compare.
type TooFewError struct{ Have int }

func (e *TooFewError) Error() string {
	return fmt.Sprintf("a comparison needs at least 2 products; got %d", e.Have)
}

// TwiceError reports that a product was named twice.
type TwiceError struct{ Product price.Product }

func (e *TwiceError) Error() string { return fmt.Sprintf("%s is named twice", e.Product) }

// compared reports whether a column of a log is compared: not names, nor what
// belongs to the opening and not to the part.
func compared(name string) bool {
	return !catalogue.Facts(name).OfOpening && !slices.Contains([]string{"row", "line", "product", "opened_precision"}, name)
}

// NoSuchYearError reports that a part has no opening up to a year, or none after
// it.
type NoSuchYearError struct {
	Product price.Product
	Year    int
	Have    []int // years in which it was opened
}

func (e *NoSuchYearError) Error() string {
	years := make([]string, len(e.Have))
	for i, y := range e.Have {
		years[i] = strconv.Itoa(y)
	}
	if len(e.Have) < 2 {
		return fmt.Sprintf("%s was opened in %s only; then and now need two years", e.Product, cmp.Or(strings.Join(years, ", "), "no known year"))
	}
	return fmt.Sprintf("%s has no opening up to %d with a later one to compare; it was opened in %s", e.Product, e.Year, strings.Join(years, ", "))
}

// Parts compares products of a log, named as in the log: the mean of every
// measure over their openings as the parts are made today (those since a change
// of the maker), differences and ratios to the first product, and whether a
// difference is one between the parts and not only between specimens.
//
// Differences are tested by Student's t with the scatter between openings of one
// part, pooled over the log, and at least the repeatability of the bench. The p
// values are corrected over the measures of the comparison (Benjamini and
// Hochberg): of the differences reported one in twenty is expected to be false,
// and where nothing differs the probability of reporting any is one in twenty.
//
// Prices are in the money of the log's last opening: means are tested, and the
// last price paid is shown. The verdicts on price come from the model; a nil
// model leaves them out and shows mean prices.
//
// Errors: *TooFewError, *TwiceError, *price.UnknownError, those of drift.Analyse.
func Parts(log *dataset.Log, products []price.Product, model *price.Model, o Options) (*Comparison, error) {
	if len(products) < 2 {
		return nil, &TooFewError{Have: len(products)}
	}
	o.Prices = model
	l, err := o.ledger(log)
	if err != nil {
		return nil, err
	}
	var subjects []subject
	for k, p := range products {
		if slices.Contains(products[:k], p) {
			return nil, &TwiceError{Product: p}
		}
		rows := l.rowsOf(p)
		if rows == nil {
			return nil, unknown(log, p)
		}
		s := subject{Product: Product{Maker: p.Maker, Part: p.Part}}
		s.take(log, rows)
		subjects = append(subjects, s)
	}
	out := l.compare(OfParts, subjects, o)
	if model != nil {
		out.PriceWarnings = model.Warnings()
		for _, p := range products {
			j, err := model.Judge(p.Maker, p.Part)
			if err != nil {
				return nil, err
			}
			out.Prices = append(out.Prices, j)
		}
		l.onePrice(out, subjects)
	}
	return out, nil
}

// ThenAndNow compares a part with itself: its openings of a year (or of the last
// year before it with openings) with those of its latest year.
//
// Errors: *price.UnknownError, *NoSuchYearError, those of drift.Analyse.
func ThenAndNow(log *dataset.Log, p price.Product, year int, o Options) (*Comparison, error) {
	l, err := o.ledger(log)
	if err != nil {
		return nil, err
	}
	rows := l.rowsOf(p)
	if rows == nil {
		return nil, unknown(log, p)
	}
	years := l.years(rows)
	then := 0
	for _, y := range years {
		if y <= year {
			then = y
		}
	}
	if then == 0 || then == years[len(years)-1] {
		return nil, &NoSuchYearError{Product: p, Year: year, Have: years}
	}
	now := years[len(years)-1]
	subjects := []subject{l.timed(p.Maker, p.Part, rows, then), l.timed(p.Maker, p.Part, rows, now)}
	out := l.compare(OfTimes, subjects, o)
	if o.Prices != nil {
		l.onePrice(out, subjects)
	}
	return out, nil
}

// Makers compares makers over all their parts: each part counts once, by its
// mean, and differences are tested with the scatter between parts of one maker.
//
// Errors: *TooFewError, *TwiceError, *drift.UnknownMakerError, those of
// drift.Analyse.
func Makers(log *dataset.Log, makers []string, o Options) (*Comparison, error) {
	if len(makers) < 2 {
		return nil, &TooFewError{Have: len(makers)}
	}
	l, err := o.ledger(log)
	if err != nil {
		return nil, err
	}
	var subjects []subject
	for k, name := range makers {
		if slices.Contains(makers[:k], name) {
			return nil, &TwiceError{Product: price.Product{Maker: name}}
		}
		s := subject{Product: Product{Maker: name}}
		var all []string
		for _, rows := range l.parts {
			if maker := log.Word(rows[0], "maker"); maker == name {
				s.units = append(s.units, rows)
			} else if !slices.Contains(all, maker) {
				all = append(all, maker)
			}
		}
		if s.units == nil {
			slices.Sort(all)
			return nil, &drift.UnknownMakerError{Name: name, Have: all}
		}
		s.note(log)
		subjects = append(subjects, s)
	}
	return l.compare(OfMakers, subjects, o), nil
}

// ledger prepares the log for a comparison.
func (o Options) ledger(log *dataset.Log) (*ledger, error) {
	changes := o.Changes
	if changes == nil {
		var err error
		if changes, err = drift.Analyse(log, drift.Options{Seed: o.Seed}); err != nil {
			return nil, err
		}
	}
	l := newLedger(log.SetAside(o.Doubted), changes, o.Prices)
	l.doubted, l.whole = o.Doubted, log
	return l, nil
}

// rowsOf returns the rows of a product by its exact name, in the order of the
// log.
func (l *ledger) rowsOf(p price.Product) []int {
	for _, rows := range l.parts {
		if l.log.Word(rows[0], "maker") == p.Maker && l.log.Word(rows[0], "part") == p.Part {
			rows = slices.Clone(rows)
			slices.Sort(rows)
			return rows
		}
	}
	return nil
}

// compare computes the comparison of the subjects.
func (l *ledger) compare(kind Kind, subjects []subject, o Options) *Comparison {
	if o.Confidence == 0 {
		o.Confidence = confidence
	}
	out := &Comparison{Kind: kind, MoneyOf: l.moneyOf()}
	var rows [][]int
	for k, s := range subjects {
		out.Products = append(out.Products, s.Product)
		out.Changes = append(out.Changes, l.changesOf(k, s)...)
		out.Doubted = append(out.Doubted, l.doubtsOf(k, s)...)
		rows = append(rows, s.rows())
	}
	b := newBench(l, kind, subjects, o.Confidence)
	for _, name := range l.log.Names() {
		if !compared(name) {
			continue
		}
		if values := l.log.Floats(name); values != nil {
			out.addMeasure(b, name)
		} else if words := l.log.Strings(name); words != nil {
			out.addWords(name, words, rows)
		}
	}
	b.decide(out)
	out.Warnings = b.warnings(out.Measures)
	return out
}

// unknown returns the error for a product whose exact name is not in the log.
func unknown(log *dataset.Log, p price.Product) error {
	near, err := price.Resolve(log, p.String())
	if err == nil {
		return &price.UnknownError{Name: p.String(), Selected: log.Selection().Conditions != nil, Nearest: []price.Product{near}}
	}
	return err
}

func (c *Comparison) addMeasure(b *bench, name string) {
	m := Measure{Column: name, Group: GroupOf(name), Most: -1}
	if known, ok := catalogue.LookUp(name); ok {
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
		c.Only = append(c.Only, Only{Column: name, Place: have[0], Value: m.Values[have[0]].Mean, N: m.Values[have[0]].N})
		return
	}
	b.hold(&m)
	for _, v := range m.Values[1:] {
		m.Differences = append(m.Differences, b.difference(m, m.Values[0], v))
	}
	c.Measures = append(c.Measures, m)
}

// exceeds allows for rounding: 0.49 − 0.48 is a little more than 0.01.
func exceeds(by, limit float64) bool { return by > limit*(1+1e-9) }

func (c *Comparison) addWords(name string, words []string, rows [][]int) {
	w := Words{Column: name, Group: GroupOf(name)}
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
		c.Only = append(c.Only, Only{Column: name, Place: have[0], Value: math.NaN(), Words: w.Values[have[0]]})
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

// frequent lists the distinct words of some rows, most frequent first, then in
// alphabetical order.
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
