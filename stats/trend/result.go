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
	ID        string // "price-media_area"
	Response  string // canonical column name, recorded or derived
	Predictor string
	Scale     Scale
	Lacking   string // only openings without this measure take part; "" = all
}

// Line is a straight line on the trend's scale with the range of its slope.
type Line struct {
	Intercept, Slope    float64
	SlopeLow, SlopeHigh float64 // Confidence range of the slope
	Spread              float64 // residual standard deviation on the trend's scale
	Confidence          float64 // 0.95
	RSquared            float64 // NaN where it has no meaning
}

// LeftOut counts rows that could not take part and says why.
type LeftOut struct {
	Reason string
	Rows   int
}

// Point is one fitted point: a product (the mean of its openings on the
// trend's scale) or one opening.
type Point struct {
	Maker, Part string
	Lines       []int   // lines of the log file it comes from, ascending
	N           int     // openings behind it
	X, Y        float64 // natural units (not logs)
	Expected    float64 // from the line, natural units
	Low, High   float64 // 95 % prediction range at X, natural units
	Residual    float64 // Y minus Expected on the trend's scale
	Studentised float64 // residual over its own prediction standard error
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
// LeftOut and Warnings are set and Line holds NaN.
type Trend struct {
	Definition
	N            int // points fitted
	Needed       int // points that would do, when TooFew
	TooFew       bool
	PerOpening   bool
	LeftOut      []LeftOut
	Line         Line    // of the sound points, by the model of a contaminated market: flags are measured from it
	Robust       Line    // S/M line, the witness
	LeastSquares Line    // plain least squares on every point
	Theil        Line    // Theil–Sen
	BothErrors   Line    // Deming line over the kept points, NaN where the error of a reading of the predictor is unknown
	BootLow      float64 // bootstrap (BCa) range of the slope, NaN unless the t assumption failed its check
	BootHigh     float64
	Points       []Point
	Shapes       []outlier.ShapeOdds // what sound points scatter like, the likeliest first
	Band         []BandPoint         // ascending X, for drawing
	Warnings     []string
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
	Kind        FlagKind
	Grade       Grade  // clear, probable or hint
	Trend       string // trend id
	Maker, Part string
	Lines       []int
	N           int     // openings behind it
	Predictor   float64 // natural units, as all of these
	Observed    float64
	Expected    float64
	Low, High   float64 // 95 % prediction range
	Ratio       float64 // observed / expected
	Tail                // one-sided for price, two-sided elsewhere

	// ImpliedGauge is the wall in mm that mass, size and material of the can say it
	// has; NaN where they were not measured, and of flags that are not on can gauge.
	ImpliedGauge float64

	// Doubtful lists the readings behind the flag that the check of the log
	// takes for slips; the report fills it.
	Doubtful []dataset.Problem
}
