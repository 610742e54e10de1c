package render

import (
	"fmt"
	"math"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/trend"
)

// whose names what an entry is about: "Veldmarsh, can gauge".
func whose(e drift.Entry) string {
	if e.Part == "" {
		return short(e.Maker)
	}
	return Name(e.Maker, e.Part)
}

// yearly says an amount a year in the measure's unit.
func yearly(e drift.Entry, u dataset.Units, v, half float64) string {
	if e.Relative {
		return fixed(100*math.Abs(v), decimalsFor(100*half)) + nbsp + "%"
	}
	return signless(u, e.Measure, v, half)
}

// driftSentence says by how much a measure moves: "can gauge falls by …".
func driftSentence(e drift.Entry, u dataset.Units) string {
	half := (e.High - e.Low) / 2
	asStep := e.AsStep && !math.IsNaN(e.Step) && !e.ChangeGradual
	between := range95(signedYearly(e, u, e.Low, half), signedYearly(e, u, e.High, half))
	if !asStep && (e.Low > 0 || e.High < 0) {
		low, high := sizes(e.Low, e.High)
		between = range95(yearly(e, u, low, half), yearly(e, u, high, half))
	}
	verb := "rise"
	if e.Verdict == drift.Falling {
		verb = "fall"
	}
	if !counts(e.Measure) {
		verb += "s"
	}
	beyond := ""
	if e.Relative {
		beyond = " against the market"
	}
	if asStep {
		return fmt.Sprintf("%s %s in one step, which a line does not tell as well: %s a year%s (%s; %s, %s; %s%s).",
			trend.Words(e.Measure), verb, signedYearly(e, u, e.PerYear, half), beyond,
			between, counted(e.N, "opening", "openings"), sameParts(e), level("q", e.Q), witness(e))
	}
	return fmt.Sprintf("%s %s by %s a year%s (%s; %s, %s; %s%s).",
		trend.Words(e.Measure), verb, yearly(e, u, e.PerYear, half), beyond,
		between, counted(e.N, "opening", "openings"), sameParts(e), level("q", e.Q), witness(e))
}

// sizes are the ends of a range on one side of zero without their sign, the
// smaller first.
func sizes(a, b float64) (low, high float64) {
	a, b = math.Abs(a), math.Abs(b)
	return min(a, b), max(a, b)
}

// sameParts says how many parts give evidence by being opened again.
func sameParts(e drift.Entry) string {
	if e.Part != "" {
		return "one part"
	}
	return counted(e.Blocks, "part opened again", "parts opened again")
}

// witness says whether blocked Kendall sees the same, "" where it could not
// look.
func witness(e drift.Entry) string {
	if math.IsNaN(e.WitnessP) {
		return ""
	}
	says := "does not confirm it"
	if e.WitnessP <= trend.ByChance && math.Signbit(e.WitnessSlope) == (e.Verdict == drift.Falling) {
		says = "agrees"
	}
	return "; the witness " + says + ", " + level("p", e.WitnessP)
}

// driftDetails says when a running watch would have noticed, and what parts
// opened only once say.
func driftDetails(e drift.Entry, u dataset.Units) []string {
	var out []string
	if !e.AlarmFrom.IsZero() {
		out = append(out, "A running watch over the openings would have raised an alarm in "+month(e.AlarmFrom)+".")
	}
	if e.SinglesN > 0 && !math.IsNaN(e.SinglesSlope) {
		out = append(out, singlesSentence(e, u))
	}
	if !math.IsNaN(e.CombinedPerYear) {
		half := (e.CombinedHigh - e.CombinedLow) / 2
		out = append(out, fmt.Sprintf("Both together: %s a year (%s).", signedYearly(e, u, e.CombinedPerYear, half),
			range95(signedYearly(e, u, e.CombinedLow, half), signedYearly(e, u, e.CombinedHigh, half))))
	}
	return out
}

// changeSentence says when a change came and, where it is one, how large the
// step was; "" where no date was found.
func changeSentence(e drift.Entry, u dataset.Units) string {
	if e.ChangeFrom.IsZero() {
		return ""
	}
	s := " It starts"
	if !e.ChangeGradual && !math.IsNaN(e.Step) {
		s = " It can be told as one step of " + stepSize(e, u)
	}
	s += " from about " + month(e.ChangeFrom) + " on"
	if !e.ChangeEarly.IsZero() && !e.ChangeLate.IsZero() && month(e.ChangeEarly) != month(e.ChangeLate) {
		s += fmt.Sprintf(" (between %s and %s)", month(e.ChangeEarly), month(e.ChangeLate))
	}
	return s + sinceThen(e, u) + "."
}

// sinceThen is the pace of a gradual change since it began, "" where it is not
// known well enough to leave out no change.
func sinceThen(e drift.Entry, u dataset.Units) string {
	low, high := e.ChangePerYearLow, e.ChangePerYearHigh
	if !e.ChangeGradual || !(low*high > 0) {
		return ""
	}
	half := (high - low) / 2
	low, high = sizes(low, high)
	return fmt.Sprintf(", since then by %s a year (%s)", yearly(e, u, e.ChangePerYear, half),
		range95(yearly(e, u, low, half), yearly(e, u, high, half)))
}

// stepSize is the size of a step with its range.
func stepSize(e drift.Entry, u dataset.Units) string {
	half := (e.StepHigh - e.StepLow) / 2
	if math.IsNaN(half) || math.IsInf(half, 0) {
		return yearly(e, u, e.Step, e.Step) + " (too few to give its range)"
	}
	if e.StepLow <= 0 && e.StepHigh >= 0 {
		return yearly(e, u, e.Step, half) + " (" + range95(signedYearly(e, u, e.StepLow, half), signedYearly(e, u, e.StepHigh, half)) + ")"
	}
	low, high := sizes(e.StepLow, e.StepHigh)
	return yearly(e, u, e.Step, half) + " (" + range95(yearly(e, u, low, half), yearly(e, u, high, half)) + ")"
}

// singlesSentence is the weaker line of evidence: parts opened only once.
func singlesSentence(e drift.Entry, u dataset.Units) string {
	half := (e.SinglesHigh - e.SinglesLow) / 2
	return fmt.Sprintf("Weaker evidence from %s, against the size trend: %s a year (%s).",
		counted(e.SinglesN, "part opened once", "parts opened once"), signedYearly(e, u, e.SinglesSlope, half),
		range95(signedYearly(e, u, e.SinglesLow, half), signedYearly(e, u, e.SinglesHigh, half)))
}

// signedYearly is an amount a year with its sign.
func signedYearly(e drift.Entry, u dataset.Units, v, half float64) string {
	if v < 0 {
		return "−" + yearly(e, u, v, half)
	}
	return "+" + yearly(e, u, v, half)
}
