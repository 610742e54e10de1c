// Package trend fits the trends of a log of openings (price on media area, can
// gauge on can mass, …) and flags the products that fall off them.
//
// Everything it returns is data: values in base units (mm, cm², g, g/m², the
// log's currency) and warnings in words. It prints and draws nothing.
package trend

import "pleatstat/dataset"

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
	Kept        bool    // took part in the final fit (false = set aside by the screen)
	Verdict
	// LongTailed is the verdict if sound points have long tails; that above where
	// the points rule it out.
	LongTailed Verdict
}

// Verdict says how likely a sound point is to lie so far off the line.
type Verdict struct {
	PHigh, PLow float64 // one-sided p: above, below the line
	QHigh, QLow float64 // the same, corrected over all points of the trend
	PTwo, QTwo  float64 // off the line on either side, single and corrected
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
	Line         Line    // screened least squares: the line the flags are measured from
	Robust       Line    // S/M line, the witness
	LeastSquares Line    // plain least squares on every point
	Theil        Line    // Theil–Sen
	BothErrors   Line    // Deming line over the kept points, NaN where the error of a reading of the predictor is unknown
	BootLow      float64 // bootstrap (BCa) range of the slope, NaN unless the t assumption failed its check
	BootHigh     float64
	Points       []Point
	// LongTailChance is how likely sound points are to have long tails, lying far
	// off the line more often than a normal distribution has them; 0 where the
	// points rule it out.
	LongTailChance float64
	Band           []BandPoint // ascending X, for drawing
	Warnings       []string
}

// FlagKind and Strength are the words of the output contract.
type FlagKind string

const (
	Overpriced FlagKind = "overpriced"
	Bargain    FlagKind = "bargain"
	OffTrend   FlagKind = "off-trend"
)

type Strength string

const (
	Clear Strength = "clear" // q <= 0.05 over the trend and at least 25 % off the line
	Look  Strength = "look"  // outside its own 95 % prediction range
)

// Flag is a point that falls off a trend.
type Flag struct {
	Kind        FlagKind
	Strength    Strength
	Trend       string // trend id
	Maker, Part string
	Lines       []int
	N           int     // openings behind it
	Observed    float64 // natural units
	Expected    float64
	Low, High   float64 // 95 % prediction range
	Ratio       float64 // observed / expected
	P, Q        float64 // one-sided for price, two-sided elsewhere
	// QTails is Q with the chance of long tails counted in; NaN where the points of
	// the trend rule them out.
	QTails float64

	// Doubtful lists the readings behind the flag that the check of the log
	// takes for slips; the report fills it.
	Doubtful []dataset.Problem
}

// RestsOnNormal reports whether a clear flag would not be one with the chance of
// long tails counted in.
func (f Flag) RestsOnNormal() bool { return f.Strength == Clear && f.QTails > clearLevel }
