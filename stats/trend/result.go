// Package trend fits the trends of a log of openings (price on media area, can
// gauge on can mass, …) and flags the products that fall off them.
//
// Results are data: values in base units (mm, cm², g, g/m², the log's currency)
// and warnings as text. The package prints and draws nothing.
package trend

import (
	"pleatstat/dataset"
	"pleatstat/stats/outlier"
)

// Scale is the scale on which a line is straight.
type Scale string

const (
	Log    Scale = "log"    // natural logarithm of both response and predictor
	Linear Scale = "linear" // values as they are
)

// Definition defines one trend.
type Definition struct {
	ID        string `json:"id"`       // "price-media_area"
	Response  string `json:"response"` // canonical column name, recorded or derived
	Predictor string `json:"predictor"`
	Scale     Scale  `json:"scale"`
	Lacking   string // only openings without this measure are used; "" = all
}

// Per is what one point of a trend stands for.
type Per string

const (
	PerProduct Per = "product" // the mean of its openings
	PerOpening Per = "opening"
)

// Line is a straight line on the trend's scale with the interval of its slope.
type Line struct {
	Intercept  float64 `json:"intercept"`
	Slope      float64 `json:"slope"`
	SlopeLow   float64 `json:"slope_low"` // interval of the slope at level Confidence
	SlopeHigh  float64 `json:"slope_high"`
	Spread     float64 `json:"spread"`     // residual standard deviation on the trend's scale
	Confidence float64 `json:"confidence"` // 0.95
	RSquared   float64 `json:"r_squared"`  // NaN where it is not defined
}

// LeftOut counts rows that were not used, with the reason.
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
	N           int     `json:"n"`         // number of openings
	X           float64 `json:"predictor"` // natural units (not logs)
	Y           float64 `json:"response"`
	Expected    float64 `json:"expected"` // from the line, natural units
	Low         float64 `json:"low"`      // 95 % prediction range at X, natural units
	High        float64 `json:"high"`
	Residual    float64 // Y minus Expected on the trend's scale
	Studentised float64 `json:"studentised"` // residual over its prediction standard error
	Implied     float64 // gauge implied by the can's mass, size and material, mm; NaN where unknown or the response is not can gauge
	Kept        bool    // more likely sound than shifted: used in R² and diagnostics. A point not kept is not thereby an outlier (see Evidence)
	Above       Tail    // probability of lying so far above the line
	Below       Tail    // so far below it
	Either      Tail    // so far on either side
}

// BandPoint is the fitted line with its 95 % prediction range at one abscissa, in
// natural units.
type BandPoint struct{ X, Fit, Low, High float64 }

// Trend is one fitted trend. Where TooFew is true only Definition, N, Needed,
// Per, the counts of what was left out and Warnings are set, and the lines hold
// NaN.
type Trend struct {
	Definition
	N              int       `json:"n"`                                  // number of points
	LeftOut        int       `json:"left_out"`                           // rows, for all reasons
	Line           Line      `json:"line" without:"r_squared"`           // of the sound points, from the contaminated model (package outlier); flags are measured from it
	LeastSquares   Line      `json:"least_squares" without:"confidence"` // plain least squares on every point
	Warnings       []string  `json:"warnings"`
	LeftOutReasons []LeftOut `json:"left_out_reasons"`
	Per            Per       `json:"per"`
	TooFew         bool      `json:"too_few"`
	Needed         int       `json:"needed" null:"zero"`              // points a line would need, when TooFew; 0 otherwise
	Robust         Line      `json:"robust" without:"r_squared"`      // robust line (S/M estimate), for comparison
	Theil          Line      `json:"theil_sen" without:"r_squared"`   // Theil–Sen
	BothErrors     Line      `json:"both_errors" without:"r_squared"` // Deming line over the kept points; NaN where the measurement error of the predictor is unknown
	BootLow        float64   `json:"resampled_slope_low"`             // bootstrap (BCa) interval of the slope; NaN unless the normality check failed
	BootHigh       float64   `json:"resampled_slope_high"`

	Points []Point
	Shapes []outlier.ShapeOdds // shapes of scatter of sound points, most likely first
	Band   []BandPoint         // ascending X, for drawing
}

// Related reports whether the interval of the slope excludes zero. Where it does
// not, the line is only a level, and a point off the line is not unusual for its
// predictor.
func (t *Trend) Related() bool { return !t.TooFew && t.Line.SlopeLow*t.Line.SlopeHigh > 0 }

// FlagKind is the kind of a flag, as printed.
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
	N         int                 `json:"n"` // number of openings
	Predictor float64             // natural units, as are all of these
	Observed  float64             `json:"observed"`
	Expected  float64             `json:"expected"`
	Low       float64             `json:"low"` // 95 % prediction range
	High      float64             `json:"high"`
	Ratio     float64             `json:"ratio"` // observed / expected
	Tail      `without:"p_clear"` // one-sided for price, two-sided otherwise

	// Doubtful lists the readings behind the flag that the check of the log
	// doubts; the report fills it.
	Doubtful []dataset.Problem `json:"doubtful" without:"file,column,severity"`

	// ImpliedGauge is the wall thickness in mm that mass, size and material of the
	// can imply; NaN where they were not measured, and for flags not on can gauge.
	ImpliedGauge float64 `json:"implied_gauge"`

	// OfSize reports that the gauge of the can agrees with its mass and size, and
	// does so more closely than the line: the can is then not an outlier, only of
	// unusual size for its mass.
	OfSize bool `json:"of_size"`
}
