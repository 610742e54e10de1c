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
	Openings, Products, Makers int
	NewProducts                int     // opened for the first time
	Again                      int     // opened before
	Total                      int     // openings in the log up to the end of the year
	Spent                      float64 // sum of the prices of one filter each; NaN without prices
	Priced                     int     // openings with a price
	SpentBefore                float64 // the same in the year before
	PricedBefore               int
	OpeningsBefore             int
	Undated                    int // openings of the log without a date, in no year's roundup
}

// Table is one ranking of the year's products.
type Table struct {
	ID       string // best-value, price-for-contents, can-gauge, media-area, pleat-depth, mass-for-size
	Measure  string // canonical column, for the unit of Value; "" for a ratio
	Ratio    bool   // Value is a factor: 1.12 = 12 % more than expected
	LowFirst bool   // place 1 is the smallest value
	Places   []Place
	N        int // products ranked
	Openings int // openings behind them
	TooFew   bool
	Needed   int     // products that would do, when TooFew
	Noise    Noise   // between openings of one product, on the scale of Log
	Log      bool    // compared on the logarithm
	Slope    float64 // of a ranking that rests on a line (mass for size): its exponent, NaN else
	Fitted   int     // products or openings behind that line
	Warnings []string
}

// Place is one product's place with the range the data leave it.
type Place struct {
	Maker, Part string
	Lines       []int   // lines of the log of its openings in the year, ascending
	N           int     // openings behind Value
	Earlier     int     // of them, those of earlier years, since when nothing changed
	Off         []int   // lines of openings of the year that lie too far off the rest to count
	Value       float64 // mean over the openings, prices in the money of the year
	Low, High   float64 // 95 % range of the product's own mean; NaN where the noise is not known
	Rank        int     // 1 = first; equal values share one
	RankLow     int     // range of the rank, right for the whole table with 95 %; 0 = not computed (the middle of a very long table)
	RankHigh    int
	Shared      bool // the range holds more than one place
	// Verdict is that on the product's price, in the table of prices for contents;
	// zero elsewhere.
	Verdict price.Verdict
	extra   float64
}

// Noise is how much a measure differs between openings of one product.
type Noise struct {
	SD     float64
	DF     float64 // worth so many degrees of freedom
	Pairs  int     // pairs of openings of one product behind it
	Source string  // "openings", "readings" or ""
	rise   float64 // the change a year that openings of one product have in common
}

// Shift is how far one measure moved from the year before to this one.
type Shift struct {
	Measure      string
	Group        string // "opened again", "same products", "all sizes", "small", "middle", "large"
	PerYear      bool   // of the products opened again: change a year since each was last opened
	Relative     bool   // Shift, Low, High are fractions: 0.04 = 4 % more
	Before, Now  int    // openings compared
	Products     int    // products in both years, for the same products; 0 else
	Shift        float64
	Low, High    float64 // 95 %
	MedianBefore float64 // of the openings compared, base units
	MedianNow    float64
	TooFew       bool
	Needed       int    // products in both years, or openings in each, that would do
	SizeMeasure  string // what the sizes are of: can_surface or media_area
	SizeFrom     float64
	SizeTo       float64 // the class holds SizeFrom < size <= SizeTo; infinite at the ends
	Clear        bool    // the range leaves out no change
	// Follows is the measure whose shift this one only repeats: media_area for a
	// price per area that moved at an unchanged price; "" else.
	Follows string
}

// Reopened holds what differs in parts that were opened in an earlier year.
type Reopened struct {
	Products    int // of the year that had been opened before
	Comparisons int // measures compared, over all of them
	Changes     []Change
	Words       []WordChange
	Chance      float64 // second looks expected by chance
	LevelUsed   float64 // false discovery rate of a clear change
}

// Change is a measure of one part that differs from its last opening by more
// than openings of one product usually do.
type Change struct {
	Maker, Part  string
	Measure      string
	Relative     bool // compared on the logarithm; Difference is a fraction
	Since        int  // year of the last earlier opening with the measure
	Before, Now  float64
	NBefore, N   int
	Difference   float64
	Low, High    float64 // 95 %
	P, Q         float64
	Clear        bool // q at most LevelUsed over all comparisons; else only p below 0.05
	Lines        []int
	AboveMarket  bool    // price: judged after the market's own rise
	MarketFactor float64 // that rise over the years between, as a factor; 1 else
}

// WordChange is a category of one part that differs from its last opening.
type WordChange struct {
	Maker, Part, Measure string
	Since                int
	Before, Now          string
	Lines                []int
}

// MakerTable is the makers, on everything opened up to the year, with partial
// pooling.
type MakerTable struct {
	ID       string // price, can-gauge
	Measure  string // canonical column of the unit
	Relative bool   // values are fractions: 0.04 = 4 % above the line; else base units
	Against  string // column the values are residuals on
	Rows     []MakerRow
	Products int
	Mean     float64 // where makers with no openings of their own would stand
	Between  float64 // SD between makers
	Within   float64 // SD between products of one maker
	Q, P     float64 // that the makers do not differ: sum of squares, its p
	TooFew   bool
	Needed   string
	Fitted   int
}

// MakerRow is one maker.
type MakerRow struct {
	Maker              string
	Products, Openings int     // up to the end of the year
	ThisYear           int     // openings of the year
	Own                float64 // mean over its products
	Pooled             float64 // moved towards Mean
	Low, High          float64 // 95 % range of Pooled
	Weight             float64 // share of Pooled that is its own: 1 = not moved
	P, Q               float64 // of lying on the line; corrected over makers first, then over tables
	Side               int     // surely above the line 1, surely below -1, else 0
}

// Record is an all-time extreme that fell in the year.
type Record struct {
	Measure               string
	Highest               bool
	Maker, Part           string
	Line                  int
	Value                 float64
	OldMaker, OldPart     string
	OldYear, OldLine      int
	OldValue              float64
	Earlier               int // openings of earlier years it stands against
	Beyond                bool
	Needs                 float64 // margin that would be beyond what openings of one product differ by, on the scale compared
	Relative              bool
	Margin, MarginLow, Up float64 // margin with its 95 % range, fraction where Relative
}

// Gap is something that was not measured often enough to judge.
type Gap struct {
	Subject string // what could not be told: GapRanking, GapShift, GapMeasured
	Detail  string // of a shift its group, of a measure the finding it is for
	Measure string // canonical column; a table's id for GapRanking
	Have    int
	Need    int
	Unit    string // what is counted
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
	Maker, Part string
	Opened      int // so often
	Last        int // year of its last opening
	Gain        float64
	PriceGain   float64 // share by which the mean variance of the price line would fall
	DriftGain   float64 // the same for the makers' slopes of can gauge over time
	MakerGain   float64 // and for its own maker's slope
}
