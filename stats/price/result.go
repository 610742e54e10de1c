// Package price judges what a filter costs against what is inside it.
//
// Everything it returns is data, in base units and the log's currency; it
// prints and draws nothing.
package price

// Verdict is a word of the output contract.
type Verdict string

const (
	Overpriced Verdict = "overpriced" // paid above the 95 % range
	Dear       Verdict = "dear"       // above the 80 % range
	Fair       Verdict = "fair"       // inside the 80 % range
	Cheap      Verdict = "cheap"      // below the 80 % range
	Bargain    Verdict = "bargain"    // below the 95 % range
	TooFew     Verdict = "too few"    // not judged: too few products, or no price or area
)

// Contribution is what one content adds to or takes from the expected price.
type Contribution struct {
	Content string  // canonical column name
	Value   string  // as measured, base units, or the category's word; "not recorded"
	Factor  float64 // multiplies the base price
}

// Comparable is a product with similar contents.
type Comparable struct {
	Maker, Part string
	Price       float64 // in the money of the product compared
	MediaArea   float64 // cm²
	Distance    float64 // of the contents, in log price: 0.1 = contents worth about a tenth more or less
}

// AreaOnly is the verdict of price against media area (and time) alone, from a
// fit that has not seen the product either.
type AreaOnly struct{ Fair, Low95, High95 float64 }

// Judgement is the price verdict on one product. Missing numbers are NaN.
type Judgement struct {
	Maker, Part     string
	N               int     // openings behind it
	MoneyOf         float64 // decimal year whose money all prices are in: that of the latest opening; NaN without a date
	Paid            float64 // price of one; of several openings their mean, carried to that year
	Fair            float64
	Low80, High80   float64
	Low95, High95   float64
	PremiumRatio    float64 // paid / fair
	PremiumMoney    float64 // paid - fair
	ChanceAboveFair float64 // share of products with these contents that would cost less than paid
	Rank, Of        int     // 1 = dearest for its contents
	Base            float64 // fair price of an average product at the end of the log; times all factors = Fair
	Contributions   []Contribution
	Comparables     []Comparable
	AreaOnly        AreaOnly
	Verdict         Verdict
	Needed          int // products that would do, when TooFew
	Warnings        []string
}
