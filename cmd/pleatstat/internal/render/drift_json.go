package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

type driftJSON struct {
	Maker              string        `json:"maker"`
	Part               *string       `json:"part"`
	Measure            string        `json:"measure"`
	N                  int           `json:"n"`
	Blocks             int           `json:"blocks"`
	PerYear            num           `json:"per_year"`
	Low                num           `json:"low"`
	High               num           `json:"high"`
	P                  num           `json:"p"`
	Q                  num           `json:"q"`
	ChangeFrom         *string       `json:"change_from"`
	Step               num           `json:"step"`
	Verdict            drift.Verdict `json:"verdict"`
	DetectablePerYear  num           `json:"detectable_per_year"`
	Unit               string        `json:"unit"`
	Relative           bool          `json:"relative"`
	Needed             *int          `json:"needed"`
	WitnessP           num           `json:"witness_p"`
	WitnessPerYear     num           `json:"witness_per_year"`
	ChangeEarliest     *string       `json:"change_earliest"`
	ChangeLatest       *string       `json:"change_latest"`
	StepLow            num           `json:"step_low"`
	StepHigh           num           `json:"step_high"`
	AlarmFrom          *string       `json:"alarm_from"`
	MoreOpeningsNeeded *int          `json:"more_openings_needed"`
	SinglesPerYear     num           `json:"singles_per_year"`
	SinglesLow         num           `json:"singles_low"`
	SinglesHigh        num           `json:"singles_high"`
	SinglesN           int           `json:"singles_n"`
	CombinedPerYear    num           `json:"combined_per_year"`
	CombinedLow        num           `json:"combined_low"`
	CombinedHigh       num           `json:"combined_high"`
	ChangeGradual      bool          `json:"change_gradual"`
	ChangePerYear      num           `json:"change_per_year"`
	ChangePerYearLow   num           `json:"change_per_year_low"`
	ChangePerYearHigh  num           `json:"change_per_year_high"`
	AsStep             bool          `json:"as_step"`
	SlopeP             num           `json:"slope_p"`
	Warnings           []string      `json:"warnings"`
	Follows            *string       `json:"follows"`
	DatedBy            string        `json:"dated_by"`
	MadeAfter          *string       `json:"made_after"`
	MadeBefore         *string       `json:"made_before"`
	OriginThen         *string       `json:"origin_then"`
	OriginNow          *string       `json:"origin_now"`
}

func driftOf(entries []drift.Entry) []driftJSON {
	out := make([]driftJSON, 0, len(entries))
	for _, e := range entries {
		located := !e.ChangeFrom.IsZero()
		j := driftJSON{
			Maker: e.Maker, Part: orNull(e.Part), Measure: e.Measure, N: e.N, Blocks: e.Blocks,
			PerYear: num(e.PerYear), Low: num(e.Low), High: num(e.High), P: num(e.P), Q: num(e.Q),
			ChangeFrom: day(e.ChangeFrom), Step: missingUnless(located, e.Step),
			Verdict: e.Verdict, DetectablePerYear: num(e.Detectable),
			Unit: e.Unit, Relative: e.Relative, Needed: countOrNull(e.Needed, e.Verdict == drift.TooFew),
			WitnessP: num(e.WitnessP), WitnessPerYear: num(e.WitnessSlope),
			ChangeEarliest: day(e.ChangeEarly), ChangeLatest: day(e.ChangeLate),
			StepLow: missingUnless(located, e.StepLow), StepHigh: missingUnless(located, e.StepHigh),
			AlarmFrom: day(e.AlarmFrom), MoreOpeningsNeeded: countOrNull(e.MoreOpenings, e.MoreOpenings >= 0),
			SinglesPerYear:  missingUnless(e.SinglesN > 0, e.SinglesSlope),
			SinglesLow:      missingUnless(e.SinglesN > 0, e.SinglesLow),
			SinglesHigh:     missingUnless(e.SinglesN > 0, e.SinglesHigh),
			SinglesN:        e.SinglesN,
			CombinedPerYear: num(e.CombinedPerYear), CombinedLow: num(e.CombinedLow), CombinedHigh: num(e.CombinedHigh),
			ChangeGradual: e.ChangeGradual, ChangePerYear: missingUnless(e.ChangeGradual, e.ChangePerYear),
			ChangePerYearLow:  missingUnless(e.ChangeGradual, e.ChangePerYearLow),
			ChangePerYearHigh: missingUnless(e.ChangeGradual, e.ChangePerYearHigh),
			AsStep:            e.AsStep, SlopeP: num(e.SlopeP), Warnings: list(e.Warnings),
			Follows: orNull(e.Follows), DatedBy: e.DatedBy, MadeAfter: day(e.Told.MadeAfter), MadeBefore: day(e.Told.MadeBefore),
			OriginThen: orNull(e.Told.OriginThen), OriginNow: orNull(e.Told.OriginNow),
		}
		out = append(out, j)
	}
	return out
}

// DriftJSON writes the drift of every maker and measure.
func DriftJSON(w io.Writer, log *dataset.Log, entries []drift.Entry) error {
	return writeJSON(w, struct {
		Schema string      `json:"schema"`
		Log    readLogJSON `json:"log"`
		Drift  []driftJSON `json:"drift"`
	}{"pleatstat/drift/1", readLogOf(log), driftOf(entries)})
}
