// Package compare compares a few parts of a log, several makers, or one part then
// and now, and decides which of their differences are larger than specimens of
// one part show, and which are too small for the bench to measure.
//
// Results are data in base units and the log's currency; the package prints and
// draws nothing.
package compare

import (
	"time"

	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// Comparison is two or more products side by side. Everything per product is in
// the order of Products.
type Comparison struct {
	Kind     Kind
	Products []Product
	Measures []Measure // numbers that at least two have, recorded and derived, in the log's order
	Words    []Words   // categories and texts that at least two have
	Only     []Only    // what only one has
	// Changes are the changes of the makers: for today's part only the openings
	// after them count.
	Changes []Change
	// Doubted are readings of the products that count as blank, since they are
	// probably slips.
	Doubted []Doubt
	Prices  []price.Judgement
	// MoneyOf is the decimal year to whose money all prices are converted; NaN
	// where the log has no dates or shows no rise.
	MoneyOf float64
	// PriceWarnings are the warnings that every one of Prices has.
	PriceWarnings []string
	Warnings      []string
}

// Kind is what is compared.
type Kind string

const (
	OfParts  Kind = "parts"
	OfMakers Kind = "makers"
	OfTimes  Kind = "then and now"
)

// Product is one product compared; for makers Part is empty.
type Product struct {
	Maker    string `json:"maker"`
	Part     string `json:"part"`
	When     string `json:"when,omitempty"` // the year for a part then and now, otherwise ""
	Parts    int    `json:"parts"`          // number of parts; 1 for a part
	Openings int    `json:"openings"`
	Lines    []int  `json:"lines"` // of the log
}

// Group is the part of a filter that a measure belongs to, in the order of a
// teardown.
type Group string

const (
	OfPrice  Group = "price"
	OfMedia  Group = "media"
	OfCan    Group = "can"
	OfPlate  Group = "base plate and inlet"
	OfValves Group = "valves and the rest"
)

// Groups lists the groups in that order.
func Groups() []Group { return []Group{OfPrice, OfMedia, OfCan, OfPlate, OfValves} }

// Measure is one number of all products.
type Measure struct {
	Column string `json:"column"`
	Group  Group  `json:"group"`
	Basis  Basis  `json:"basis"` // what decides whether products differ
	// Scatter is the standard deviation between openings of one part (for makers:
	// between parts of one maker), relative to the value where Relative; NaN where
	// it is not known. Pairs is the number of pairs of openings (for makers:
	// degrees of freedom) it was estimated from.
	Scatter     float64      `json:"scatter"`
	Relative    bool         `json:"relative"`
	Pairs       int          `json:"pairs"`
	Derived     bool         `json:"derived"`
	Values      []Value      `json:"values"`
	Differences []Difference `json:"differences"` // of each product after the first from the first
	// Most is the index of the product with the most, -1 where it does not differ
	// from the next.
	Most int `json:"most" null:"negative"`
}

// Basis is what a difference is compared with: the best that is known.
type Basis string

const (
	ByOpenings Basis = "openings" // scatter between openings of one part (for makers: between parts of one maker)
	ByReadings Basis = "readings" // repeatability of the bench on one specimen
	ByStep     Basis = "step"     // the step of the instrument
	ByFact     Basis = "fact"     // paid or claimed: exact, as far as openings of one part do not differ
	ByNothing  Basis = "unknown"  // for makers: the scatter between parts of one maker is not known
)

// Value is the mean over a product's openings that count, in base units; NaN
// without any. Prices are in the money of one date. For parts the price shown is
// the one last paid, and measures derived from price follow it.
type Value struct {
	Mean float64 `json:"mean"`
	N    int     `json:"n"`  // openings with a value (for makers: parts)
	SE   float64 `json:"se"` // standard error of the mean from repeatability; NaN where that is not known
	// Stale means that all openings are from before a change of the maker.
	Stale  bool    `json:"stale"`
	scaled float64 // mean on the scale of the comparison; each holds the openings
	each   []float64
	moved  float64 // relative change since the openings, where the maker keeps changing it
}

// Difference is that of a product from the first.
type Difference struct {
	By    float64 `json:"by"`    // value minus the first's; NaN where either has none
	Ratio float64 `json:"ratio"` // value divided by the first's; NaN also where that is 0
	// Limit is the largest difference that specimens of one part may show in this
	// measure alone (95 %), and at least BenchLimit; NaN where it is not known.
	Limit float64 `json:"limit"`
	// Beyond means that the products differ: Q is at most 0.05 and By exceeds
	// BenchLimit; without a P, By exceeds BenchLimit.
	Beyond bool `json:"beyond"`
	// BenchLimit is the largest difference that repeating the measurement alone
	// may make; NaN where it is not known. BeyondBench means that By exceeds it:
	// these specimens differ, whether or not the parts do.
	BenchLimit  float64 `json:"bench_limit"`
	BeyondBench bool    `json:"bench_tells"`
	P           float64 `json:"p"` // under no difference; NaN where only a limit decides
	Q           float64 `json:"q"` // corrected over the comparison
}

// Words is one category or text of all products.
type Words struct {
	Column  string     `json:"column"`
	Group   Group      `json:"group"`
	Values  [][]string `json:"values"`  // distinct words of each product, most frequent first; empty without
	Differs bool       `json:"differs"` // no word is shared by all products that have one
}

// Only is something recorded for only one of the products.
type Only struct {
	Column string   `json:"column"`
	Place  int      `json:"product"` // index of the product
	Value  float64  `json:"value"`   // mean, base units; NaN for words
	N      int      `json:"n"`       // openings with a value (for makers: parts)
	Words  []string `json:"words"`   // nil for a number
}

// Doubt is a reading of a product that does not count.
type Doubt struct {
	Place  int     `json:"product"` // index of the product
	Column string  `json:"column"`
	Line   int     `json:"line"`  // of the log
	Value  float64 `json:"value"` // base units
}

// Change is a change of a maker in a product compared.
type Change struct {
	Place   int           `json:"product"` // index of the product
	Measure string        `json:"measure"`
	Verdict drift.Verdict `json:"verdict"`
	Shape   drift.Shape   `json:"shape"`
	From    time.Time     `json:"from"` // zero for a slope over the whole period
	// Then and Now are the part's own means before the change and over the
	// openings that count; NaN without any.
	Then  float64     `json:"then"`
	Now   float64     `json:"now"`
	NThen int         `json:"n_then"`
	NNow  int         `json:"n_now"`
	Of    drift.Entry // the entry of the maker
}
