// Package drift answers "has this maker changed what it makes?": whether the same
// parts, opened again later, have become thinner, lighter, dearer or lost pleats.
//
// Each part has a level of its own, and a maker's parts share a slope or a step in
// time (stats/panel); prices are followed against those of the other makers
// (stats/market). Makers are selected first, then their measures, then their parts
// (Benjamini and Bogomolov 2014), so that of those named at most one in twenty is
// expected to be wrong.
//
// It does not say why a part changed. What it returns is data, in base units.
package drift

import (
	"slices"
	"time"

	"pleatstat/dataset/catalogue"
)

// Verdict is a word of the output contract.
type Verdict string

const (
	Falling Verdict = "falling"
	Rising  Verdict = "rising"
	// Steady is said only where a change worth finding would have been seen
	// with 80 % power; else NoChange.
	Steady   Verdict = "steady"
	NoChange Verdict = "no change shown"
	TooFew   Verdict = "too few"
)

// Shape is how a change is told: whichever fits better, and one of them only.
type Shape string

const (
	AsStep       Shape = "step"        // at once, at Told.From
	AsSlope      Shape = "slope"       // so much a year over all the time looked at
	AsSlopeSince Shape = "slope since" // level first, then so much a year from Told.From on
)

// Told is the one way in which a change is told. By lies within Low and High
// and has the sign of the verdict.
type Told struct {
	Shape Shape
	By    float64 // of a step its size, else a year; as PerYear where Relative
	Low   float64 // 95 % range; NaN where too few to bound it
	High  float64
	From  time.Time // zero for a slope over all the time
	Early time.Time
	Late  time.Time
	// Example is a part that shows it by its own readings; "" = none.
	Example string
	Then    Reading
	Now     Reading
	// By their date codes a step came between these days: the last of the old and
	// the first of the new were made then. Zero where the codes don't say so, or
	// where the entry is dated by them.
	MadeAfter  time.Time `json:"made_after"`
	MadeBefore time.Time `json:"made_before"`
	// OriginNow is the country on nearly all openings since From and on nearly none
	// before, when it was OriginThen; "" where it does not change with the readings.
	OriginThen string `json:"origin_then" null:"zero"`
	OriginNow  string `json:"origin_now" null:"zero"`
}

// Reading is what one part showed at one time.
type Reading struct {
	When  time.Time // of the last opening that counts
	Value float64   // base units; the mean over N openings
	N     int
	Lines []int
}

// Observation is one opening as drift sees it.
type Observation struct {
	When      time.Time
	Year      float64 // decimal year
	Part      string
	Line      int
	Value     float64 // base units
	Deviation float64 // from the part's own mean (same scale as PerYear)
}

// Moved says whether the entry is told as a change.
func (e Entry) Moved() bool { return e.Verdict == Falling || e.Verdict == Rising }

// Concerns says whether a change of this entry's measure is one of a column: of
// the same, or of one that is computed from everything it is made of.
func (e Entry) Concerns(column string) bool {
	inputs := catalogue.Inputs(column)
	for _, need := range catalogue.Inputs(e.Measure) {
		if !slices.Contains(inputs, need) {
			return false
		}
	}
	return true
}

// Entry is the drift of one measure of one maker (Part empty) or of one part.
// Missing numbers are NaN. What is written as JSON stands in the order of its keys.
type Entry struct {
	Maker   string `json:"maker"`
	Part    string `json:"part" null:"zero"`
	Measure string `json:"measure"` // canonical column name
	N       int    `json:"n"`       // openings used
	Blocks  int    `json:"blocks"`  // parts opened more than once on different dates

	PerYear    float64   `json:"per_year"`
	Low        float64   `json:"low"` // 95 % range
	High       float64   `json:"high"`
	P          float64   `json:"p"`           // deciding test
	Q          float64   `json:"q"`           // corrected over everything tested, 0.05 is the bar
	ChangeFrom time.Time `json:"change_from"` // zero = no step located
	Step       float64   `json:"step"`
	Verdict    Verdict   `json:"verdict"`
	Detectable float64   `json:"detectable_per_year"` // smallest yearly change found with 80 % power at the corrected level (by normal theory)
	Unit       string    `json:"unit"`                // base unit of PerYear's numerator; "%" where Relative
	Relative   bool      `json:"relative"`            // PerYear, Low, High, Step are fractions a year (price measures): 0.04 = +4 % a year
	Needed     int       `json:"needed" null:"zero"`  // openings that would do, when Verdict is TooFew; 0 else

	WitnessP     float64   `json:"witness_p"`        // blocked Kendall
	WitnessSlope float64   `json:"witness_per_year"` // blocked Sen slope a year
	ChangeEarly  time.Time `json:"change_earliest"`  // range of ChangeFrom
	ChangeLate   time.Time `json:"change_latest"`
	StepLow      float64   `json:"step_low"` // range of Step
	StepHigh     float64   `json:"step_high"`
	AlarmFrom    time.Time `json:"alarm_from"` // month in which a running watch would have raised an alarm; zero = none
	// MoreOpenings, spread in time as those so far, would find the change worth
	// finding with 80 % power: 0.01 mm of gauge, one pleat, 2 % of a mass, length
	// or area, 5 % of a price a year; 0 = there are enough, -1 = cannot say.
	MoreOpenings int     `json:"more_openings_needed" null:"negative"`
	SinglesSlope float64 `json:"singles_per_year"` // residual trend of parts seen once (weaker evidence), NaN where none
	SinglesLow   float64 `json:"singles_low"`
	SinglesHigh  float64 `json:"singles_high"`
	SinglesN     int     `json:"singles_n"`
	// The mean of PerYear and SinglesSlope, each weighted by its precision,
	// where both exist and agree (same direction, overlapping ranges); NaN
	// otherwise. The verdict rests on PerYear alone.
	CombinedPerYear float64 `json:"combined_per_year"`
	CombinedLow     float64 `json:"combined_low"`
	CombinedHigh    float64 `json:"combined_high"`
	// ChangeGradual says that the values do not jump at ChangeFrom but start
	// to move there; Step is NaN then.
	ChangeGradual bool    `json:"change_gradual"`
	ChangePerYear float64 `json:"change_per_year"` // movement a year from ChangeFrom on where ChangeGradual, NaN otherwise
	// Its 95 % range: the widest of those that follow from the earliest, the
	// likeliest and the latest date of the change.
	ChangePerYearLow  float64 `json:"change_per_year_low"`
	ChangePerYearHigh float64 `json:"change_per_year_high"`
	// AsStep says that the test for a step found the change, or that the line
	// takes what lies on one side of it for slips. Where the line itself points
	// the other way, PerYear and its range are the step spread over the years.
	AsStep   bool     `json:"as_step"`
	SlopeP   float64  `json:"slope_p"` // of the slope alone
	Warnings []string `json:"warnings"`
	// Follows is the measure whose change this one only repeats: media_area for a
	// price per area that moved at an unchanged price; "" else.
	Follows string `json:"follows" null:"zero"`
	// DatedBy is the column the openings are dated by: opened or date_code.
	DatedBy string `json:"dated_by"`
	Told    Told   `json:",inline"` // how the change is told; zero where none is

	Points []Observation
}
