// Package trend fits the trends of a log of openings (price on media area, can
// gauge on can mass, …) and flags the products that fall off them.
//
// Everything it returns is data: values in base units (mm, cm², g, g/m², the
// log's currency) and warnings in words. It prints and draws nothing.
package trend

import (
	"pleatstat/dataset"
	"pleatstat/stats/outlier"
)

// Scale says on which scale a line is straight.
type Scale string

const (
	Log    Scale = "log"    // natural logarithm of both response and predictor
	Linear Scale = "linear" // values as they are
)

// Definition names one trend.
type Definition struct {
	ID        string `json:"id"`       // "price-media_area"
	Response  string `json:"response"` // canonical column name, recorded or derived
	Predictor string `json:"predictor"`
	Scale     Scale  `json:"scale"`
	Lacking   string // only openings without this measure take part; "" = all
}

// Per says what one point of a trend stands for.
type Per string

const (
	PerProduct Per = "product" // the mean of its openings
	PerOpening Per = "opening"
)

// Line is a straight line on the trend's scale with the range of its slope.
type Line struct {
	Intercept  float64 `json:"intercept"`
	Slope      float64 `json:"slope"`
	SlopeLow   float64 `json:"slope_low"` // Confidence range of the slope
	SlopeHigh  float64 `json:"slope_high"`
	Spread     float64 `json:"spread"`     // residual standard deviation on the trend's scale
	Confidence float64 `json:"confidence"` // 0.95
	RSquared   float64 `json:"r_squared"`  // NaN where it has no meaning
}

// LeftOut counts rows that could not take part and says why.
type LeftOut struct {
	Reason string `json:"reason"`
	Rows   int    `json:"rows"`
}

// Point is one fitted point: a product (the mean of its openings on the
// trend's scale) or one opening.
type Point struct {
	Maker       string  `json:"maker"`
	Part        string  `json:"part"`
	Lines       []int   `json:"lines"`     // lines of the log file it comes from, ascending
	N           int     `json:"n"`         // openings behind it
	X           float64 `json:"predictor"` // natural units (not logs)
	Y           float64 `json:"response"`
	Expected    float64 `json:"expected"` // from the line, natural units
	Low         float64 `json:"low"`      // 95 % prediction range at X, natural units
	High        float64 `json:"high"`
	Residual    float64 // Y minus Expected on the trend's scale
	Studentised float64 `json:"studentised"` // residual over its own prediction standard error
	Implied     float64 // gauge implied by the can's mass, size and material, mm; NaN where unknown or the response is another
	Kept        bool    // more likely sound than shifted: counts in R² and diagnostics; what is not kept is no outlier for that (see Evidence)
	Above       Tail    // of lying so far above the line
	Below       Tail    // below it
	Either      Tail    // off it on either side
}

// BandPoint is one abscissa of the fitted line with its 95 % prediction range,
// natural units.
type BandPoint struct{ X, Fit, Low, High float64 }

// Trend is one fitted trend. Where TooFew is true only Definition, N, Needed,
// what was left out and Warnings are set and Line holds NaN.
type Trend struct {
	Definition
	N              int       `json:"n"`                                  // points fitted
	LeftOut        int       `json:"left_out"`                           // rows, for all reasons
	Line           Line      `json:"line" without:"r_squared"`           // of the sound points, by the model of a contaminated market: flags are measured from it
	LeastSquares   Line      `json:"least_squares" without:"confidence"` // plain least squares on every point
	Warnings       []string  `json:"warnings"`
	LeftOutReasons []LeftOut `json:"left_out_reasons"`
	Per            Per       `json:"per"`
	TooFew         bool      `json:"too_few"`
	Needed         int       `json:"needed" null:"zero"`              // points that would do, when TooFew; 0 else
	Robust         Line      `json:"robust" without:"r_squared"`      // S/M line, the witness
	Theil          Line      `json:"theil_sen" without:"r_squared"`   // Theil–Sen
	BothErrors     Line      `json:"both_errors" without:"r_squared"` // Deming line over the kept points, NaN where the error of a reading of the predictor is unknown
	BootLow        float64   `json:"resampled_slope_low"`             // bootstrap (BCa) range of the slope, NaN unless the t assumption failed its check
	BootHigh       float64   `json:"resampled_slope_high"`

	Points []Point
	Shapes []outlier.ShapeOdds // what sound points scatter like, the likeliest first
	Band   []BandPoint         // ascending X, for drawing
}

// Related says whether the range of the slope leaves out no relation. Where it
// does not, the line is no more than a level, and nothing lies off it for its
// predictor.
func (t *Trend) Related() bool { return !t.TooFew && t.Line.SlopeLow*t.Line.SlopeHigh > 0 }

// FlagKind is a word of the output contract.
type FlagKind string

const (
	Overpriced FlagKind = "overpriced" // above what its contents usually cost
	Bargain    FlagKind = "bargain"
	OffTrend   FlagKind = "off-trend"
)

// Flag is a point that falls off a trend.
type Flag struct {
	Kind      FlagKind            `json:"kind"`
	Grade     Grade               `json:"grade"` // clear, probable or hint
	Trend     string              `json:"trend"` // trend id
	Maker     string              `json:"maker"`
	Part      string              `json:"part"`
	Lines     []int               `json:"lines"`
	N         int                 `json:"n"` // openings behind it
	Predictor float64             // natural units, as all of these
	Observed  float64             `json:"observed"`
	Expected  float64             `json:"expected"`
	Low       float64             `json:"low"` // 95 % prediction range
	High      float64             `json:"high"`
	Ratio     float64             `json:"ratio"` // observed / expected
	Tail      `without:"p_clear"` // one-sided for price, two-sided elsewhere

	// Doubtful lists the readings behind the flag that the check of the log
	// takes for slips; the report fills it.
	Doubtful []dataset.Problem `json:"doubtful" without:"file,column,severity"`

	// ImpliedGauge is the wall in mm that mass, size and material of the can say it
	// has; NaN where they were not measured, and of flags that are not on can gauge.
	ImpliedGauge float64 `json:"implied_gauge"`

	// OfSize says that mass and size of the can agree with its gauge, and more nearly
	// than with the line: it is no outlier of its make, only of a size that is not
	// usual for its mass.
	OfSize bool `json:"of_size"`
}
