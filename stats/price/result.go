// Package price answers "does this filter cost more or less than what is inside it
// usually costs?".
//
// The last price of a product is held against what products with the same contents
// usually cost (stats/hedonic), and against the trend of price on media area; its
// one verdict puts both together. Contents that are not recorded are filled in from
// the others (stats/imputation), prices of other dates carried to the last one.
//
// It does not say how well a filter filters, nor why a price is off. What it
// returns is data, in base units and the log's currency.
package price

import "pleatstat/stats/trend"

// Verdict is what is said of one product's price, the same wherever it is said.
// Missing numbers are NaN. All prices but Paid are in the money of the log's last
// opening with a price.
type Verdict struct {
	Maker string      `json:"maker"`
	Part  string      `json:"part"`
	Grade trend.Grade `json:"grade"`
	// Direction is "above" or "below" the usual price, "" without a price.
	Direction string `json:"direction" null:"zero"`

	Price     float64 `json:"price"`                  // the last one paid
	PriceDate string  `json:"price_date" null:"zero"` // ISO 8601 at the precision logged; "" without one
	Paid      float64 `json:"paid"`                   // the same as it was paid
	MoneyOf   string  `json:"money_of" null:"zero"`   // year and month of the money; "" without dates

	Fair       float64 `json:"fair"` // what parts with the same contents usually cost, by everything measured inside
	Low        float64 `json:"low"`  // the prices between which 19 of 20 parts with these contents lie
	High       float64 `json:"high"`
	Ratio      float64 `json:"ratio"`       // price over fair
	MoneyAbove float64 `json:"money_above"` // price less fair

	N     int    `json:"n"`               // openings with a price
	Lines []int  `json:"lines"`           // of the log, theirs
	Why   string `json:"why" null:"zero"` // why area alone says otherwise, or what keeps from saying; ""

	ByArea   trend.Evidence `json:"by_area"`   // against the trend of price on media area
	ByInside trend.Evidence `json:"by_inside"` // against everything measured inside
}

// Told reports whether the verdict says that the price is off.
func (v Verdict) Told() bool {
	return v.Grade == trend.Clear || v.Grade == trend.Probable || v.Grade == trend.Hint
}

// Directions of a verdict.
const (
	Above = "above"
	Below = "below"
)

// Contribution is what one content adds to or takes from the usual price.
type Contribution struct {
	Content string  `json:"content"` // canonical column name
	Value   string  `json:"value"`   // as measured, base units, or the category's word; "not recorded"
	Factor  float64 `json:"factor"`  // multiplies the base price
}

// Comparable is a product with similar contents.
type Comparable struct {
	Maker     string  `json:"maker"`
	Part      string  `json:"part"`
	Price     float64 `json:"price"`      // as in its own verdict
	MediaArea float64 `json:"media_area"` // cm²
	Distance  float64 `json:"distance"`   // of the contents, in log price: 0.1 = contents worth about a tenth more or less
	Mount
	SameThread bool `json:"same_thread"` // as the product they are compared with; false where one is not recorded
}

// Mount is what decides, beside the gasket, whether a filter may go on an engine;
// "" where it was not recorded.
type Mount struct {
	Thread    string `json:"thread"`
	Bypass    string `json:"bypass"`
	DrainBack string `json:"drain_back"`
}

// Judgement is the verdict on one product with what it rests on. Missing numbers
// are NaN.
type Judgement struct {
	Verdict       `json:"verdict"`
	Low80         float64        `json:"low_80"` // the prices between which 4 of 5 parts with these contents lie
	High80        float64        `json:"high_80"`
	UsualLow      float64        `json:"usual_low"` // range of the usual price itself
	UsualHigh     float64        `json:"usual_high"`
	ShareBelow    float64        `json:"share_below"`      // share of parts with these contents that would cost less
	Rank          int            `json:"rank" null:"zero"` // 1 = dearest for its contents, of Of; 0 = none
	Of            int            `json:"of"`
	Base          float64        `json:"base"` // usual price of an average product; times all factors = Fair
	Contributions []Contribution `json:"contributions"`
	Mount         Mount          `json:"mount"`
	Comparables   []Comparable   `json:"comparables"`        // those with its thread first
	Needed        int            `json:"needed" null:"zero"` // products that would do, when the log has too few; 0 else
	Warnings      []string       `json:"warnings"`
}
