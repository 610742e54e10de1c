// Package compare sets a few parts of a log, two makers, or one part then and
// now side by side, and says which of their differences are larger than
// specimens of one part show, and which the bench could not even measure.
//
// Everything it returns is data, in base units and the log's currency; it
// prints and draws nothing.
package compare

import (
	"time"

	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// Comparison is two or more products side by side. Everything per product is
// in the order of Products.
type Comparison struct {
	Kind     Kind
	Products []Product
	Measures []Measure // numbers that at least two have, recorded and derived, in the log's order
	Words    []Words   // categories and texts that at least two have
	Only     []Only    // what only one has
	// Changes of a maker or a part after which its openings count: of what came
	// before, today's part says nothing.
	Changes []Change
	// Doubted are readings of the products that count as blank, as they are
	// probably slips.
	Doubted []Doubt
	Prices  []price.Judgement
	// MoneyOf is the decimal year in whose money all prices are; NaN where the
	// log has no dates or shows no rise.
	MoneyOf float64
	// PriceWarnings concern all Prices, each of which has them among its own.
	PriceWarnings []string
	Warnings      []string
}

// Kind says what is compared.
type Kind string

const (
	OfParts  Kind = "parts"
	OfMakers Kind = "makers"
	OfTimes  Kind = "then and now"
)

// Product is one product compared; of makers Part is empty.
type Product struct {
	Maker    string `json:"maker"`
	Part     string `json:"part"`
	When     string `json:"when,omitempty"` // of a part then and now the year, else ""
	Parts    int    `json:"parts"`          // behind it: of a part 1
	Openings int    `json:"openings"`
	Lines    []int  `json:"lines"` // of the log
}

// Group is the part of a filter a measure belongs to, in the order in which a
// teardown walks through it.
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
	// Scatter is the standard deviation between openings of one part (of makers:
	// between parts of one maker), a share of the value where Relative; NaN
	// where it is not known. Pairs of openings are behind it.
	Scatter     float64      `json:"scatter"`
	Relative    bool         `json:"relative"`
	Pairs       int          `json:"pairs"`
	Derived     bool         `json:"derived"`
	Values      []Value      `json:"values"`
	Differences []Difference `json:"differences"` // of each product after the first from the first
	// Most is the place of the product with the most, -1 where it can't be told
	// from the next.
	Most int `json:"most" null:"negative"`
}

// Basis is what a difference is held against, the best that is known.
type Basis string

const (
	ByOpenings Basis = "openings" // how much openings of one part differ (parts of one maker, of makers)
	ByReadings Basis = "readings" // what the bench repeats on one specimen
	ByStep     Basis = "step"     // the step of the instrument
	ByFact     Basis = "fact"     // paid, claimed or counted, and never seen to differ within a part
	ByNothing  Basis = "unknown"  // of makers: how much the parts of one maker differ is not known
)

// Value is the mean over a product's openings that count, base units; prices in
// the money of one date; NaN without any. Of parts the price given is the one
// last paid, and what is worked out from it goes by that.
type Value struct {
	Mean float64 `json:"mean"`
	N    int     `json:"n"`  // openings with a value (of makers: parts)
	SE   float64 `json:"se"` // of the mean, by what the bench can repeat; NaN where that is not known
	// Stale says that the openings are all from before a change of the maker.
	Stale  bool    `json:"stale"`
	scaled float64 // the mean on the scale of the comparison, and each opening
	each   []float64
	moved  float64 // share by which it has moved on since, where the maker keeps changing it
}

// Difference of a product from the first.
type Difference struct {
	By    float64 `json:"by"`    // value less the first's; NaN where either has none
	Ratio float64 `json:"ratio"` // value over the first's; NaN also where that is 0
	// Limit is the largest difference that specimens of one part may show, this
	// measure looked at alone (95 %), and no less than BenchLimit; NaN where not
	// known.
	Limit float64 `json:"limit"`
	// Beyond says that the products differ: Q is at most 0.05 and By beyond
	// BenchLimit. Where nothing has a P, By beyond Limit.
	Beyond bool `json:"beyond"`
	// BenchLimit is the largest difference that repeating the measurement alone
	// may make; NaN where not known. BenchTells says that By is beyond it: these
	// specimens differ, whether or not the parts do.
	BenchLimit float64 `json:"bench_limit"`
	BenchTells bool    `json:"bench_tells"`
	P          float64 `json:"p"` // of no difference; NaN where only a step decides
	Q          float64 `json:"q"` // corrected over the comparison
}

// Words is one category or text of all products.
type Words struct {
	Column  string     `json:"column"`
	Group   Group      `json:"group"`
	Values  [][]string `json:"values"`  // distinct words of each product, the most frequent first; empty without
	Differs bool       `json:"differs"` // no word is shared by all that have one
}

// Only is something recorded for one of the products alone.
type Only struct {
	Column string   `json:"column"`
	Place  int      `json:"product"` // its place
	Value  float64  `json:"value"`   // mean, base units; NaN where it is no number
	N      int      `json:"n"`       // openings with a value (of makers: parts)
	Words  []string `json:"words"`   // where it is no number
}

// Doubt is a reading of a product that does not count.
type Doubt struct {
	Place  int     `json:"product"` // its place
	Column string  `json:"column"`
	Line   int     `json:"line"`  // of the log
	Value  float64 `json:"value"` // base units
}

// Change is what a maker changed in a product compared.
type Change struct {
	Place   int           `json:"product"` // its place
	Measure string        `json:"measure"`
	Verdict drift.Verdict `json:"verdict"`
	Shape   drift.Shape   `json:"shape"`
	From    time.Time     `json:"from"` // zero for a slope over all the time
	// Then and Now are the part's own means before and after, by the openings
	// that count; NaN without any.
	Then  float64     `json:"then"`
	Now   float64     `json:"now"`
	NThen int         `json:"n_then"`
	NNow  int         `json:"n_now"`
	Of    drift.Entry // the maker's own
}
