// Package roundup puts one year of openings together: what stood out among the
// parts opened that year and how sure each place is, what moved since the year
// before, what changed in parts opened before, where the makers stand, which
// records fell, what was measured too seldom and what to open next.
//
// Everything it returns is data, in base units and the log's currency; it
// prints and draws nothing. Whatever rests on too little says so and names the
// number that would do.
package roundup

import (
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// Roundup is one year's programme. Missing numbers are NaN.
type Roundup struct {
	File   string
	Year   int
	Before int   // the year it is compared with: the last earlier one with openings; 0 = none
	Years  []int // every year the log has openings of, ascending
	Units  dataset.Units

	Until time.Time // the last opening of a year that the log may go on in; zero else

	MoneyOf  float64 // decimal year whose money the verdicts are in; NaN without dates
	Opened   Opened
	Changed  []drift.Entry // what makers changed and is news in this year, judged on the whole log
	Drift    []drift.Entry // all that was followed of makers and parts, over the whole log
	Usable   int           // products of the log with a price and a media area
	Tables   []Table       // in speaking order
	Shifts   []Shift
	Reopened Reopened
	Makers   []MakerTable
	Records  []Record
	NoRecord string // why no record is told, "" = records were looked for
	Gaps     []Gap
	Next     []Candidate
	Doubtful []dataset.Problem // readings of this year that were kept out of places, records and changes
	Warnings []string
	Notices  []string // to be said before anything else
}

// Opened counts what the year brought.
type Opened struct {
	Openings       int     `json:"openings"`
	Products       int     `json:"products"`
	Makers         int     `json:"makers"`
	NewProducts    int     `json:"new_products"`    // opened for the first time
	Again          int     `json:"opened_before"`   // products opened before
	Total          int     `json:"openings_so_far"` // in the log up to the end of the year
	Spent          float64 `json:"spent"`           // sum of the prices of one filter each; NaN without prices
	Priced         int     `json:"priced"`          // openings with a price
	OpeningsBefore int     `json:"openings_before"` // the same in the year before
	SpentBefore    float64 `json:"spent_before"`
	PricedBefore   int     `json:"priced_before"`
	Undated        int     `json:"undated"` // openings of the log without a date, in no year's roundup
}

// Table is one ranking of the year's products.
type Table struct {
	ID       string   `json:"id"`                  // best-value, price-for-contents, can-gauge, media-area, pleat-depth, mass-for-size
	Measure  string   `json:"measure" null:"zero"` // canonical column, for the unit of Value; "" for a ratio
	Ratio    bool     `json:"ratio"`               // Value is a factor: 1.12 = 12 % more than expected
	LowFirst bool     `json:"low_first"`           // place 1 is the smallest value
	N        int      `json:"n"`                   // products ranked
	Openings int      `json:"openings"`            // openings behind them
	TooFew   bool     `json:"too_few"`
	Needed   int      `json:"needed" null:"zero"` // products that would do, when TooFew; 0 else
	Noise    Noise    `json:",inline"`            // between openings of one product, on the scale of Log
	Log      bool     `json:"log_scale"`          // compared on the logarithm
	Places   []Place  `json:"places"`
	Slope    float64  // of a ranking that rests on a line (mass for size): its exponent, NaN else
	Fitted   int      // products or openings behind that line
	Warnings []string `json:"warnings"`
}

// Place is one product's place with the range the data leave it.
type Place struct {
	Maker    string  `json:"maker"`
	Part     string  `json:"part"`
	Lines    []int   `json:"lines"` // lines of the log of its openings in the year, ascending
	N        int     `json:"n"`     // openings behind Value
	Earlier  int     // of them, those of earlier years, since when nothing changed
	Off      []int   // lines of openings of the year that lie too far off the rest to count
	Value    float64 `json:"value"` // mean over the openings, prices in the money of the year
	Low      float64 `json:"low"`   // 95 % range of the product's own mean; NaN where the noise is not known
	High     float64 `json:"high"`
	Rank     int     `json:"rank"`                 // 1 = first; equal values share one
	RankLow  int     `json:"rank_low" null:"zero"` // range of the rank, right for the whole table with 95 %; 0 = not computed (the middle of a very long table)
	RankHigh int     `json:"rank_high" null:"zero"`
	Shared   bool    `json:"shared"` // the range holds more than one place
	// Verdict is that on the product's price, in the table of prices for contents;
	// zero elsewhere.
	Verdict price.Verdict `json:"verdict" null:"zero"`
	extra   float64
}

// Noise is how much a measure differs between openings of one product.
type Noise struct {
	SD     float64 `json:"noise_sd"` // NaN where it is not known
	DF     float64 // worth so many degrees of freedom
	Pairs  int     `json:"noise_pairs"`            // pairs of openings of one product behind it
	Source string  `json:"noise_from" null:"zero"` // "openings", "readings" or ""
	rise   float64 // the change a year that openings of one product have in common
}

// Shift is how far one measure moved from the year before to this one.
type Shift struct {
	Measure      string  `json:"measure"`
	Group        string  `json:"group"`           // "opened again", "same products", "all sizes", "small", "middle", "large"
	Relative     bool    `json:"relative"`        // Shift, Low, High are fractions: 0.04 = 4 % more
	PerYear      bool    `json:"per_year"`        // of the products opened again: change a year since each was last opened
	Before       int     `json:"openings_before"` // openings compared
	Now          int     `json:"openings_now"`
	Products     int     `json:"products" null:"zero"` // products in both years, for the same products; 0 else
	Shift        float64 `json:"shift"`
	Low          float64 `json:"low"` // 95 % range
	High         float64 `json:"high"`
	MedianBefore float64 `json:"median_before"` // of the openings compared, base units
	MedianNow    float64 `json:"median_now"`
	Clear        bool    `json:"clear"` // the range leaves out no change
	TooFew       bool    `json:"too_few"`
	Needed       int     `json:"needed" null:"zero"`       // products in both years, or openings in each, that would do, when TooFew; 0 else
	SizeMeasure  string  `json:"size_measure" null:"zero"` // what the sizes are of: can_surface or media_area
	SizeFrom     float64 `json:"size_from"`
	SizeTo       float64 `json:"size_to"` // the class holds SizeFrom < size <= SizeTo; infinite at the ends
	// Follows is the measure whose shift this one only repeats: media_area for a
	// price per area that moved at an unchanged price; "" else.
	Follows string `json:"follows" null:"zero"`
}

// Reopened holds what differs in parts that were opened in an earlier year.
type Reopened struct {
	Products    int     `json:"products"`                 // of the year that had been opened before
	Comparisons int     `json:"comparisons"`              // measures compared, over all of them
	Chance      float64 `json:"looks_expected_by_chance"` // second looks expected by chance
	Changes     []Change
	Words       []WordChange
}

// Change is a measure of one part that differs from its last opening by more
// than openings of one product usually do.
type Change struct {
	Maker        string  `json:"maker"`
	Part         string  `json:"part"`
	Measure      string  `json:"measure"`
	Relative     bool    `json:"relative"` // compared on the logarithm; Difference is a fraction
	Since        int     `json:"since"`    // year of the last earlier opening with the measure
	Before       float64 `json:"before"`
	Now          float64 `json:"now"`
	NBefore      int     `json:"n_before"`
	N            int     `json:"n"`
	Difference   float64 `json:"difference"`
	Low          float64 `json:"low"` // 95 % range
	High         float64 `json:"high"`
	P            float64 `json:"p"`
	Q            float64 `json:"q"`
	Clear        bool    // at the false discovery rate over all comparisons; else only p below 0.05
	Lines        []int
	AboveMarket  bool    // price: judged after the market's own rise
	MarketFactor float64 // that rise over the years between, as a factor; 1 else
}

// WordChange is a category of one part that differs from its last opening.
type WordChange struct {
	Maker   string `json:"maker"`
	Part    string `json:"part"`
	Measure string `json:"measure"`
	Since   int    `json:"since"`
	Before  string `json:"before"`
	Now     string `json:"now"`
	Lines   []int  `json:"lines"`
}

// MakerTable is the makers, on everything opened up to the year, with partial
// pooling.
type MakerTable struct {
	ID       string     `json:"id"`       // price, can-gauge
	Measure  string     `json:"measure"`  // canonical column of the unit
	Against  string     `json:"against"`  // column the values are residuals on
	Relative bool       `json:"relative"` // values are fractions: 0.04 = 4 % above the line; else base units
	Products int        `json:"products"`
	Fitted   int        `json:"openings_fitted"`
	TooFew   bool       `json:"too_few"`
	Needed   string     `json:"needed" null:"zero"`
	Mean     float64    `json:"mean"`           // where makers with no openings of their own would stand
	Between  float64    `json:"sd_between"`     // between makers
	Within   float64    `json:"sd_within"`      // between products of one maker
	Q        float64    `json:"sum_of_squares"` // that the makers do not differ
	P        float64    `json:"p"`              // of Q
	Rows     []MakerRow `json:"makers"`
}

// MakerRow is one maker.
type MakerRow struct {
	Maker    string  `json:"maker"`
	Products int     `json:"products"` // up to the end of the year
	Openings int     `json:"openings"`
	ThisYear int     `json:"openings_this_year"`
	Own      float64 `json:"own"`    // mean over its products
	Pooled   float64 `json:"pooled"` // moved towards Mean
	Low      float64 `json:"low"`    // 95 % range of Pooled
	High     float64 `json:"high"`
	Weight   float64 `json:"own_share"` // share of Pooled that is its own: 1 = not moved
	P, Q     float64 // of lying on the line; corrected over makers first, then over tables
	Side     int     // surely above the line 1, surely below -1, else 0
}

// Record is an all-time extreme that fell in the year.
type Record struct {
	Measure   string  `json:"measure"`
	Highest   bool    `json:"highest"`
	Maker     string  `json:"maker"`
	Part      string  `json:"part"`
	Line      int     `json:"line"`
	Value     float64 `json:"value"`
	OldMaker  string  `json:"old_maker"`
	OldPart   string  `json:"old_part"`
	OldYear   int     `json:"old_year"`
	OldLine   int     `json:"old_line"`
	OldValue  float64 `json:"old_value"`
	Earlier   int     `json:"earlier_readings"` // openings of earlier years it stands against
	Beyond    bool    `json:"beyond_noise"`
	Needs     float64 // margin that would be beyond what openings of one product differ by, on the scale compared
	Relative  bool    `json:"relative"`
	Margin    float64 `json:"margin"` // with its 95 % range, fraction where Relative
	MarginLow float64 `json:"margin_low"`
	Up        float64 `json:"margin_high"`
}

// Gap is something that was not measured often enough to judge.
type Gap struct {
	Subject string `json:"subject"` // what could not be told: GapRanking, GapShift, GapMeasured
	Detail  string `json:"detail"`  // of a shift its group, of a measure the finding it is for
	Measure string `json:"measure"` // canonical column; a table's id for GapRanking
	Have    int    `json:"have"`
	Need    int    `json:"need"`
	Unit    string `json:"unit"` // what is counted
}

// Subjects of gaps.
const (
	GapRanking  = "ranking"
	GapShift    = "shift"
	GapSure     = "how sure" // a ranking without the noise between openings of one product
	GapMeasured = "measured"
)

// Candidate is a product worth opening again.
type Candidate struct {
	Maker     string  `json:"maker"`
	Part      string  `json:"part"`
	Opened    int     `json:"opened"` // so often
	Last      int     `json:"last"`   // year of its last opening
	Gain      float64 `json:"gain"`
	PriceGain float64 `json:"price_gain"` // share by which the mean variance of the price line would fall
	DriftGain float64 `json:"drift_gain"` // the same for the makers' slopes of can gauge over time
	MakerGain float64 `json:"maker_gain"` // and for its own maker's slope
}
