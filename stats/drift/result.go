// Package drift follows each maker over time: whether the same parts, opened
// again later, have become thinner, lighter, dearer or lost pleats.
//
// Everything it returns is data, in base units; it prints and draws nothing.
package drift

import "time"

// Verdict is a word of the output contract.
type Verdict string

const (
	Falling Verdict = "falling"
	Rising  Verdict = "rising"
	Steady  Verdict = "steady"
	TooFew  Verdict = "too few"
)

// Observation is one opening as drift sees it.
type Observation struct {
	When      time.Time
	Year      float64 // decimal year
	Part      string
	Line      int
	Value     float64 // base units
	Deviation float64 // from the part's own mean (same scale as PerYear)
}

// Entry is the drift of one measure of one maker (Part empty) or of one part.
// Missing numbers are NaN.
type Entry struct {
	Maker, Part  string
	Measure      string // canonical column name
	Unit         string // base unit of PerYear's numerator; "%" where Relative
	Relative     bool   // PerYear, Low, High, Step are fractions a year (price measures): 0.04 = +4 % a year
	N, Blocks    int    // openings used, parts opened more than once on different dates
	Needed       int    // openings that would do, when Verdict is TooFew
	PerYear      float64
	Low, High    float64   // 95 % range
	P, Q         float64   // deciding test; corrected over everything tested, 0.05 is the bar
	SlopeP       float64   // of the slope alone
	WitnessP     float64   // blocked Kendall
	WitnessSlope float64   // blocked Sen slope a year
	ChangeFrom   time.Time // zero = no step located
	ChangeEarly  time.Time // range of that date
	ChangeLate   time.Time
	Step         float64
	StepLow      float64
	StepHigh     float64
	AlarmFrom    time.Time // month in which a running watch would have raised an alarm; zero = none
	Verdict      Verdict
	Detectable   float64 // smallest yearly change found with 80 % power at the corrected level (by normal theory)
	// MoreOpenings, spread in time as those so far, would find the change worth
	// finding with 80 % power: 0.01 mm of gauge, one pleat, 2 % of a mass, length
	// or area, 5 % of a price a year; 0 = there are enough, -1 = cannot say.
	MoreOpenings int
	SinglesSlope float64 // residual trend of parts seen once (weaker evidence), NaN where none
	SinglesLow   float64
	SinglesHigh  float64
	SinglesN     int
	// The mean of PerYear and SinglesSlope, each weighted by its precision,
	// where both exist and agree (same direction, overlapping ranges); NaN
	// otherwise. The verdict rests on PerYear alone.
	CombinedPerYear float64
	CombinedLow     float64
	CombinedHigh    float64
	// AsStep says that the change is a step rather than a slope: the test for a
	// step found it, or the line takes what lies on one side of it for slips. Where
	// that line goes the other way than the verdict, PerYear is the slope of the
	// step, or of the deciding test, instead.
	AsStep bool
	// ChangeGradual says that the values do not jump at ChangeFrom but start
	// to move there; Step is NaN then.
	ChangeGradual bool
	ChangePerYear float64 // movement a year from ChangeFrom on where ChangeGradual, NaN otherwise
	// Its 95 % range: the widest of those that follow from the earliest, the
	// likeliest and the latest date of the change.
	ChangePerYearLow, ChangePerYearHigh float64
	StepP                               float64 // of a step at any date, by permutation within parts
	Points                              []Observation
	Warnings                            []string
}
