// Package price answers "does this filter cost more or less than what is inside it
// usually costs?".
//
// The last price of a product is compared with what products with the same
// contents usually cost (stats/hedonic), and with the trend of price on media
// area; one verdict combines both. Contents that are not recorded are imputed
// from the others (stats/imputation), and prices are converted to the money of
// the last opening.
//
// The package does not say how well a filter filters, nor why a price is off.
// Results are data in base units and the log's currency.
package price

import "pleatstat/stats/trend"

// Verdict is the verdict on one product's price, the same in every output.
// Missing numbers are NaN. All prices except Paid are in the money of the log's
// last opening with a price.
type Verdict struct {
	Maker string      `json:"maker"`
	Part  string      `json:"part"`
	Grade trend.Grade `json:"grade"`
	// Direction is "above" or "below" the usual price, "" without a price.
	Direction string `json:"direction" null:"zero"`

	Price     float64 `json:"price"`                  // last price paid
	PriceDate string  `json:"price_date" null:"zero"` // ISO 8601 at the precision logged; "" without one
	Paid      float64 `json:"paid"`                   // last price as it was paid
	MoneyOf   string  `json:"money_of" null:"zero"`   // year and month of the money; "" without dates

	Fair       float64 `json:"fair"` // what parts with the same contents usually cost
	Low        float64 `json:"low"`  // Low to High contains the prices of 95 % of parts with these contents
	High       float64 `json:"high"`
	Ratio      float64 `json:"ratio"`       // Price divided by Fair
	MoneyAbove float64 `json:"money_above"` // Price minus Fair

	N     int    `json:"n"`               // openings with a price
	Lines []int  `json:"lines"`           // lines of the log with these prices
	Why   string `json:"why" null:"zero"` // why media area alone suggests otherwise, or why there is no verdict; "" if neither

	ByArea   trend.Evidence `json:"by_area"`   // against the trend of price on media area
	ByInside trend.Evidence `json:"by_inside"` // against everything measured inside
}

// Off reports whether the price is off: clear, probable or a hint.
func (v Verdict) Off() bool {
	return v.Grade == trend.Clear || v.Grade == trend.Probable || v.Grade == trend.Hint
}

// Directions of a verdict.
const (
	Above = "above"
	Below = "below"
)

// Contribution is the effect of one content on the usual price.
type Contribution struct {
	Content string  `json:"content"` // canonical column name
	Value   string  `json:"value"`   // as measured, base units, or the category; "not recorded"
	Factor  float64 `json:"factor"`  // multiplies the base price
}

// Comparable is a product with similar contents.
type Comparable struct {
	Maker     string  `json:"maker"`
	Part      string  `json:"part"`
	Price     float64 `json:"price"`      // as in its own verdict
	MediaArea float64 `json:"media_area"` // cm²
	Distance  float64 `json:"distance"`   // effect of the differences in contents on log price: 0.1 = contents worth about a tenth more or less
	Mount
	SameThread bool `json:"same_thread"` // as the product compared with; false where either is not recorded
}

// Mount is what decides, beside the gasket, whether a filter fits an engine; ""
// for what was not recorded.
type Mount struct {
	Thread    string `json:"thread"`
	Bypass    string `json:"bypass"`
	DrainBack string `json:"drain_back"`
}

// Judgement is the verdict on one product with its basis. Missing numbers are
// NaN.
type Judgement struct {
	Verdict       `json:"verdict"`
	Low80         float64        `json:"low_80"` // Low80 to High80 contains the prices of 80 % of parts with these contents
	High80        float64        `json:"high_80"`
	UsualLow      float64        `json:"usual_low"` // 95 % interval of the usual price itself
	UsualHigh     float64        `json:"usual_high"`
	ShareBelow    float64        `json:"share_below"`      // share of parts with these contents that would cost less
	Rank          int            `json:"rank" null:"zero"` // 1 = dearest for its contents, of Of; 0 = none
	Of            int            `json:"of"`
	Base          float64        `json:"base"` // usual price of an average product; Fair is Base times all factors
	Contributions []Contribution `json:"contributions"`
	Mount         Mount          `json:"mount"`
	Comparables   []Comparable   `json:"comparables"`        // those with the same thread first
	Needed        int            `json:"needed" null:"zero"` // products needed when the log has too few; 0 otherwise
	Warnings      []string       `json:"warnings"`
}
