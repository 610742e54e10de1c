// Package price judges what a filter costs against what is inside it.
//
// Everything it returns is data, in base units and the log's currency; it
// prints and draws nothing.
package price

// Verdict is a word of the output contract.
type Verdict string

const (
	Overpriced Verdict = "overpriced"
	Dear       Verdict = "dear"
	Fair       Verdict = "fair"
	Cheap      Verdict = "cheap"
	Bargain    Verdict = "bargain"
	TooFew     Verdict = "too few"
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
	Price       float64
	MediaArea   float64 // cm²
}

// AreaOnly is the verdict of price against media area alone.
type AreaOnly struct{ Fair, Low95, High95 float64 }

// Judgement is the price verdict on one product. Missing numbers are NaN.
type Judgement struct {
	Maker, Part     string
	N               int // openings behind it
	Paid            float64
	Fair            float64
	Low80, High80   float64
	Low95, High95   float64
	PremiumRatio    float64 // paid / fair
	PremiumMoney    float64 // paid - fair
	ChanceAboveFair float64
	Rank, Of        int // 1 = dearest for its contents
	Base            float64
	Contributions   []Contribution
	Comparables     []Comparable
	AreaOnly        AreaOnly
	Verdict         Verdict
	Needed          int // products that would do, when TooFew
	Warnings        []string
}
