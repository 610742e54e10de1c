// Package roundup summarises one year of openings: what stood out among the parts
// opened that year and how sure each place is, what moved since the year before,
// what changed in parts opened before, where the makers stand, which records
// fell, what was measured too seldom and what to open next.
//
// Results are data in base units and the log's currency; the package prints and
// draws nothing. A result that rests on too little data says so and gives the
// number needed.
package roundup

import (
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// Roundup is the summary of one year. Missing numbers are NaN.
type Roundup struct {
	File   string
	Year   int
	Before int   // year compared with: the last earlier one with openings; 0 = none
	Years  []int // all years with openings, ascending
	Units  dataset.Units

	Until time.Time // last opening of a year that may still go on; zero otherwise

	MoneyOf  float64 // decimal year to whose money the verdicts' prices are converted; NaN without dates
	Opened   Opened
	Changed  []drift.Entry // changes of makers and parts that are news in this year, judged on the whole log
	Drift    []drift.Entry // all drift entries of makers and parts, over the whole log
	Usable   int           // products of the log with a price and a media area
	Tables   []Table       // in order of presentation
	Shifts   []Shift
	Reopened Reopened
	Makers   []MakerTable
	Records  []Record
	NoRecord string // why no record is reported; "" = records were looked for
	Gaps     []Gap
	Next     []Candidate
	Doubtful []dataset.Problem // readings of this year kept out of places, records and changes
	Warnings []string
	Notices  []string // to be shown before anything else
}

// Opened counts the openings of the year.
type Opened struct {
	Openings       int     `json:"openings"`
	Products       int     `json:"products"`
	Makers         int     `json:"makers"`
	NewProducts    int     `json:"new_products"`    // opened for the first time
	Again          int     `json:"opened_before"`   // products opened before
	Total          int     `json:"openings_so_far"` // in the log up to the end of the year
	Spent          float64 `json:"spent"`           // sum of the prices per filter; NaN without prices
	Priced         int     `json:"priced"`          // openings with a price
	OpeningsBefore int     `json:"openings_before"` // these three in the year before
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
	Openings int      `json:"openings"`            // openings used
	TooFew   bool     `json:"too_few"`
	Needed   int      `json:"needed" null:"zero"` // products needed, when TooFew; 0 otherwise
	Noise    Noise    `json:",inline"`            // between openings of one product, on the log scale if Log
	Log      bool     `json:"log_scale"`          // compared on the log scale
	Places   []Place  `json:"places"`
	Slope    float64  // exponent of the line that a ranking rests on (mass for size); NaN for MassForSize without a line
	Fitted   int      // openings fitted by that line
	Warnings []string `json:"warnings"`
}

// Place is one product's place with its uncertainty.
type Place struct {
	Maker    string  `json:"maker"`
	Part     string  `json:"part"`
	Lines    []int   `json:"lines"` // lines of the log of its openings in the year, ascending
	N        int     `json:"n"`     // openings averaged in Value
	Earlier  int     // how many of these are from earlier years, since when nothing changed
	Off      []int   // lines of openings of the year left out, too far from the others
	Value    float64 `json:"value"` // mean over the openings, prices in the money of the year
	Low      float64 `json:"low"`   // 95 % interval of the product's own mean; NaN where the noise is not known
	High     float64 `json:"high"`
	Rank     int     `json:"rank"`                 // 1 = first; equal values share one
	RankLow  int     `json:"rank_low" null:"zero"` // range of the rank, simultaneous at 95 % over the table; 0 = not computed (the middle of a very long table)
	RankHigh int     `json:"rank_high" null:"zero"`
	Shared   bool    `json:"shared"` // the range contains more than one place
	// Verdict is the verdict on the product's price, in the table of prices for
	// contents; zero elsewhere.
	Verdict price.Verdict `json:"verdict" null:"zero"`
	extra   float64
}

// Noise is how much a measure differs between openings of one product.
type Noise struct {
	SD     float64 `json:"noise_sd"` // NaN where it is not known
	DF     float64 // degrees of freedom of SD
	Pairs  int     `json:"noise_pairs"`            // pairs of openings of one product
	Source string  `json:"noise_from" null:"zero"` // "openings", "readings" or ""
	rise   float64 // yearly change common to the openings of all products
}

// Shift is how far one measure moved from the year before to this one.
type Shift struct {
	Measure      string  `json:"measure"`
	Group        string  `json:"group"`           // "opened again", "same products", "all sizes", "small", "middle", "large"
	Relative     bool    `json:"relative"`        // Shift, Low, High are fractions: 0.04 = 4 % more
	PerYear      bool    `json:"per_year"`        // for products opened again: change a year since each was last opened
	Before       int     `json:"openings_before"` // openings compared
	Now          int     `json:"openings_now"`
	Products     int     `json:"products" null:"zero"` // products in both years, for "same products", or opened this year and earlier, for "opened again"; 0 otherwise
	Shift        float64 `json:"shift"`
	Low          float64 `json:"low"` // 95 % interval
	High         float64 `json:"high"`
	MedianBefore float64 `json:"median_before"` // median of the values compared, base units
	MedianNow    float64 `json:"median_now"`
	Clear        bool    `json:"clear"` // the interval excludes zero
	TooFew       bool    `json:"too_few"`
	Needed       int     `json:"needed" null:"zero"`       // products in both years, or openings in each, that are needed, when TooFew; 0 otherwise
	SizeMeasure  string  `json:"size_measure" null:"zero"` // measure of the sizes: can_surface or media_area
	SizeFrom     float64 `json:"size_from"`
	SizeTo       float64 `json:"size_to"` // the class contains SizeFrom < size <= SizeTo; infinite at the ends
	// Follows is the measure whose shift this one only repeats: media_area for a
	// price per area that moved while the price did not; "" otherwise.
	Follows string `json:"follows" null:"zero"`
}

// Reopened holds the changes in parts that were opened in an earlier year.
type Reopened struct {
	Products    int     `json:"products"`                 // products of the year that had been opened before
	Comparisons int     `json:"comparisons"`              // number of comparisons, over all measures and products
	Chance      float64 `json:"looks_expected_by_chance"` // second looks expected by chance
	Changes     []Change
	Words       []WordChange
}

// Change is the comparison of one measure of a part with its last earlier year of
// openings; in Reopened only those with a P of at most 0.05, or clear.
type Change struct {
	Maker        string  `json:"maker"`
	Part         string  `json:"part"`
	Measure      string  `json:"measure"`
	Relative     bool    `json:"relative"` // compared on the log scale; Difference is a fraction
	Since        int     `json:"since"`    // that earlier year
	Before       float64 `json:"before"`
	Now          float64 `json:"now"`
	NBefore      int     `json:"n_before"`
	N            int     `json:"n"`
	Difference   float64 `json:"difference"`
	Low          float64 `json:"low"` // 95 % interval
	High         float64 `json:"high"`
	P            float64 `json:"p"`
	Q            float64 `json:"q"`
	Clear        bool    // Q is at most 0.05
	Lines        []int
	AboveMarket  bool    // price: P allows for the market's own rise
	MarketFactor float64 // that rise over the years between, as a factor; 1 otherwise
}

// WordChange is a category of one part that differs from its last earlier
// opening.
type WordChange struct {
	Maker   string `json:"maker"`
	Part    string `json:"part"`
	Measure string `json:"measure"`
	Since   int    `json:"since"`
	Before  string `json:"before"`
	Now     string `json:"now"`
	Lines   []int  `json:"lines"`
}

// MakerTable compares the makers over everything opened up to the year, with
// partial pooling.
type MakerTable struct {
	ID       string     `json:"id"`       // price and can-gauge; of Today.Makers one of the Makers constants
	Measure  string     `json:"measure"`  // canonical column, for the unit
	Against  string     `json:"against"`  // predictor of the line that the values are residuals from
	Relative bool       `json:"relative"` // values are fractions: 0.04 = 4 % above the line; otherwise base units
	Products int        `json:"products"`
	Fitted   int        `json:"openings_fitted"`
	TooFew   bool       `json:"too_few"`
	Needed   string     `json:"needed" null:"zero"`
	Mean     float64    `json:"mean"`           // estimate for a maker without openings
	Between  float64    `json:"sd_between"`     // standard deviation between makers
	Within   float64    `json:"sd_within"`      // standard deviation between products of one maker
	Q        float64    `json:"sum_of_squares"` // test statistic for no difference between makers
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
	Pooled   float64 `json:"pooled"` // shrunk towards Mean
	Low      float64 `json:"low"`    // 95 % interval of Pooled
	High     float64 `json:"high"`
	Weight   float64 `json:"own_share"` // weight of Own in Pooled: 1 = not shrunk
	P, Q     float64 // under lying on the line; Q corrected over makers first, then over tables
	Side     int     // 1 = significantly above the line, -1 = below, 0 = neither
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
	Earlier   int     `json:"earlier_readings"` // earlier openings compared with
	Beyond    bool    `json:"beyond_noise"`
	Needs     float64 // least margin that exceeds the scatter between openings of one product, in the unit of Margin
	Relative  bool    `json:"relative"`
	Margin    float64 `json:"margin"` // with its 95 % interval, a fraction where Relative
	MarginLow float64 `json:"margin_low"`
	Up        float64 `json:"margin_high"`
}

// Gap is something that was not measured often enough to judge.
type Gap struct {
	Subject string `json:"subject"` // what could not be judged: one of the Gap constants
	Detail  string `json:"detail"`  // the group of a shift, or the finding that needs a measure
	Measure string `json:"measure"` // canonical column; a table's id for GapRanking and GapSure
	Have    int    `json:"have"`
	Need    int    `json:"need"`
	Unit    string `json:"unit"` // what is counted
}

// Subjects of gaps.
const (
	GapRanking  = "ranking"
	GapShift    = "shift"
	GapSure     = "how sure" // a ranking without an estimate of the noise between openings of one product
	GapMeasured = "measured"
)

// Candidate is a product worth opening again.
type Candidate struct {
	Maker     string  `json:"maker"`
	Part      string  `json:"part"`
	Opened    int     `json:"opened"` // number of openings
	Last      int     `json:"last"`   // year of its last opening
	Gain      float64 `json:"gain"`
	PriceGain float64 `json:"price_gain"` // relative decrease of the mean variance of the price line
	DriftGain float64 `json:"drift_gain"` // the same for the makers' slopes of can gauge over time
	MakerGain float64 `json:"maker_gain"` // the same for its own maker's slope
}
