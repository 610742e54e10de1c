// Package drift answers "has this maker changed what it makes?": whether the same
// parts, opened again later, have become thinner, lighter, dearer or lost pleats.
//
// Each part has a level of its own, and a maker's parts share a slope or a step
// in time (stats/panel); prices are compared with those of the other makers
// (stats/market). Makers are selected first, then their measures, then their
// parts (Benjamini and Bogomolov 2014), so that at most one in twenty of the
// makers named is expected to be wrong.
//
// The package does not say why a part changed. Results are data in base units.
package drift

import (
	"slices"
	"time"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// Verdict is the verdict on one entry, as printed.
type Verdict string

const (
	Falling Verdict = "falling"
	Rising  Verdict = "rising"
	// Steady means that a change worth finding would have been detected with 80 %
	// power; otherwise the verdict is NoChange.
	Steady   Verdict = "steady"
	NoChange Verdict = "no change shown"
	TooFew   Verdict = "too few"
)

// Shape is the form of a change: the one that fits better, and only one.
type Shape string

const (
	AsStep       Shape = "step"        // at one date, Statement.From
	AsSlope      Shape = "slope"       // a constant rate over the whole period
	AsSlopeSince Shape = "slope since" // level first, then a constant rate from Statement.From on
)

// Statement is the description of a change that is reported. By lies within Low and
// High and has the sign of the verdict.
type Statement struct {
	Shape Shape
	By    float64 // the size of a step, otherwise the change a year; relative where the entry is Relative
	Low   float64 // 95 % interval; NaN where it is unbounded
	High  float64
	From  time.Time // zero for a slope over the whole period
	Early time.Time
	Late  time.Time
	// Example is a part whose own readings show the change; "" = none.
	Example string
	Then    Reading
	Now     Reading
	// MadeAfter and MadeBefore bound a step by the date codes: the latest code
	// before it and the earliest after it. Zero where the codes don't show it, or
	// where the entry is dated by them.
	MadeAfter  time.Time `json:"made_after"`
	MadeBefore time.Time `json:"made_before"`
	// OriginNow is the country on nearly all openings since From and on nearly
	// none before, when it was OriginThen; "" where the country does not change
	// with the readings.
	OriginThen string `json:"origin_then" null:"zero"`
	OriginNow  string `json:"origin_now" null:"zero"`
}

// Reading is the value of one part at one time.
type Reading struct {
	When  time.Time // date of the last opening included
	Value float64   // base units; the mean over N openings
	N     int
	Lines []int
}

// Observation is one opening used in the analysis.
type Observation struct {
	When      time.Time
	Year      float64 // decimal year
	Part      string
	Line      int
	Value     float64 // base units
	Deviation float64 // from the part's own mean, after removing the market (same scale as PerYear)
}

// Moved reports whether the verdict is a change.
func (e Entry) Moved() bool { return e.Verdict == Falling || e.Verdict == Rising }

// Covers reports whether the entry is of a part or of its maker.
func (e Entry) Covers(p dataset.Label) bool {
	return e.Maker == p.Maker && (e.Part == "" || e.Part == p.Part)
}

// Concerns reports whether a change of this entry's measure affects a column: the
// same column, or one computed from everything that the measure is computed from.
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
// Missing numbers are NaN. The JSON fields keep the order of the keys in the
// output.
type Entry struct {
	Maker   string `json:"maker"`
	Part    string `json:"part" null:"zero"`
	Measure string `json:"measure"` // canonical column name
	N       int    `json:"n"`       // openings used
	Blocks  int    `json:"blocks"`  // parts opened more than once on different dates

	PerYear    float64   `json:"per_year"`
	Low        float64   `json:"low"` // 95 % interval
	High       float64   `json:"high"`
	P          float64   `json:"p"`           // of the deciding test
	Q          float64   `json:"q"`           // corrected over everything tested; a change needs 0.05 or less
	ChangeFrom time.Time `json:"change_from"` // zero = no step located
	Step       float64   `json:"step"`
	Verdict    Verdict   `json:"verdict"`
	Detectable float64   `json:"detectable_per_year"` // smallest yearly change found with 80 % power at the corrected level (by normal theory)
	Unit       string    `json:"unit"`                // base unit of PerYear's numerator; "%" where Relative
	Relative   bool      `json:"relative"`            // PerYear, Low, High, Step are fractions a year (price measures): 0.04 = +4 % a year
	Needed     int       `json:"needed" null:"zero"`  // openings needed when Verdict is TooFew; 0 otherwise

	WitnessP     float64   `json:"witness_p"`        // blocked Kendall
	WitnessSlope float64   `json:"witness_per_year"` // blocked Sen slope per year
	ChangeEarly  time.Time `json:"change_earliest"`  // interval of ChangeFrom
	ChangeLate   time.Time `json:"change_latest"`
	StepLow      float64   `json:"step_low"` // interval of Step
	StepHigh     float64   `json:"step_high"`
	AlarmFrom    time.Time `json:"alarm_from"` // date on which a running watch would have raised an alarm; zero = none
	// MoreOpenings, spread in time like those so far, would detect the change
	// worth finding with 80 % power: 0.01 mm of gauge, one pleat, 2 % of a mass,
	// length or area, 5 % of a price a year; 0 = there are enough, -1 = cannot be
	// said.
	MoreOpenings int     `json:"more_openings_needed" null:"negative"`
	SinglesSlope float64 `json:"singles_per_year"` // trend of parts opened once after removing size (weaker evidence); NaN where there is none
	SinglesLow   float64 `json:"singles_low"`
	SinglesHigh  float64 `json:"singles_high"`
	SinglesN     int     `json:"singles_n"`
	// CombinedPerYear is the mean of PerYear and SinglesSlope, weighted by
	// precision, where both exist and agree (same direction, overlapping
	// intervals); NaN otherwise. The verdict rests on the openings of the same
	// part alone.
	CombinedPerYear float64 `json:"combined_per_year"`
	CombinedLow     float64 `json:"combined_low"`
	CombinedHigh    float64 `json:"combined_high"`
	// ChangeGradual means that the values start to move at ChangeFrom instead of
	// jumping; Step is NaN then.
	ChangeGradual bool    `json:"change_gradual"`
	ChangePerYear float64 `json:"change_per_year"` // change a year from ChangeFrom on where ChangeGradual, NaN otherwise
	// ChangePerYearLow and ChangePerYearHigh are its 95 % interval: the union of
	// those from the earliest, the most likely and the latest date of the change.
	ChangePerYearLow  float64 `json:"change_per_year_low"`
	ChangePerYearHigh float64 `json:"change_per_year_high"`
	// AsStep means that the test for a step found the change, or that the robust
	// line points against the test, treating one side of a step as slips. Where
	// the line points the other way, PerYear and its interval are those of the
	// step, spread over the years.
	AsStep   bool     `json:"as_step"`
	SlopeP   float64  `json:"slope_p"` // of the test of the slope alone
	Warnings []string `json:"warnings"`
	// Follows is the measure whose change this one only repeats: media_area for a
	// price per area that moved while the price did not; "" otherwise.
	Follows string `json:"follows" null:"zero"`
	// DatedBy is the column that dates the openings: opened or date_code.
	DatedBy   string    `json:"dated_by"`
	Statement Statement `json:",inline"` // description of the change; zero where there is none

	Points []Observation
}
