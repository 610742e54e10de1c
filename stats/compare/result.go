// Package compare sets a few products of a log side by side and says which of
// their differences are larger than the bench can repeat.
//
// Everything it returns is data, in base units and the log's currency; it
// prints and draws nothing.
package compare

import "pleatstat/stats/price"

// Comparison is two or more products side by side. Everything per product is
// in the order of Products.
type Comparison struct {
	Products []Product
	Measures []Measure // numbers that at least two have, recorded and derived, in the log's order
	Words    []Words   // categories and texts that at least two have
	Only     []Only    // what only one has
	Prices   []price.Judgement
	// PriceWarnings concern all Prices, each of which has them among its own.
	PriceWarnings []string
	Warnings      []string
}

// Product is one product compared.
type Product struct {
	Maker, Part string
	Openings    int
	Lines       []int // of the log
}

// Measure is one number of all products.
type Measure struct {
	Column      string
	Derived     bool
	Values      []Value
	Differences []Difference // of each product after the first from the first
	// Most is the place of the product with the most, -1 where the bench cannot
	// tell it from the next.
	Most int
}

// Value is the mean over a product's openings, base units; NaN without any.
type Value struct {
	Mean float64
	N    int     // openings with a value
	SE   float64 // of the mean, by what the bench can repeat; NaN where that is not known
}

// Difference of a product from the first.
type Difference struct {
	By     float64 // value less the first's; NaN where either has none
	Ratio  float64 // value over the first's; NaN also where that is 0
	Limit  float64 // the largest difference that repeating the measurement alone may make; NaN where not known
	Beyond bool    // |By| > Limit
}

// Words is one category or text of all products.
type Words struct {
	Column  string
	Values  [][]string // distinct words of each product, the most frequent first; empty without
	Differs bool       // no word is shared by all that have one
}

// Only is something recorded for one of the products alone.
type Only struct {
	Column string
	Place  int // of the product
	Value  Value
	Words  []string // where it is no number
}
