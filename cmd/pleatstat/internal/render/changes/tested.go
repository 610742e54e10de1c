package changes

import (
	"fmt"
	"math"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
	"pleatstat/stats/trend"
)

// whose names the maker or part of an entry: "Veldmarsh", "Veldmarsh VM2146".
func whose(e drift.Entry) string {
	if e.Part == "" {
		return wording.Short(e.Maker)
	}
	return wording.Name(e.Maker, e.Part)
}

// yearly returns an amount a year in the measure's unit.
func yearly(e drift.Entry, u dataset.Units, v, half float64) string {
	if e.Relative {
		return wording.Fixed(100*math.Abs(v), wording.DecimalsFor(100*half)) + wording.NBSP + "%"
	}
	return wording.Signless(u, e.Measure, v, half)
}

// driftSentence returns a sentence on how a measure changed, as the step or slope by
// which the change is reported, with its tests: "can gauge falls by …".
func driftSentence(e drift.Entry, u dataset.Units) string {
	verb := "rise"
	if e.Verdict == drift.Falling {
		verb = "fall"
	}
	if !wording.Counts(e.Measure) {
		verb += "s"
	}
	how := " a year"
	switch e.Statement.Shape {
	case drift.AsStep:
		how = " in one step around " + wording.Month(e.Statement.From)
	case drift.AsSlopeSince:
		how += " since about " + wording.Month(e.Statement.From)
	}
	half := (e.Statement.High - e.Statement.Low) / 2
	if !(half > 0) {
		half = math.Abs(e.Statement.By)
	}
	between := "too few to give its range"
	if low, high := e.Statement.Low, e.Statement.High; low >= 0 || high <= 0 { // the verb states the direction
		low, high = sizes(low, high)
		between = wording.Range95(yearly(e, u, low, half), yearly(e, u, high, half))
	} else if !math.IsNaN(low) {
		between = wording.Range95(SignedYearly(e, u, low, half), SignedYearly(e, u, high, half))
	}
	return fmt.Sprintf("%s %s by %s%s%s (%s; %s, %s; %s%s).",
		catalogue.Words(e.Measure), verb, yearly(e, u, e.Statement.By, half), how, beyondMarket(e),
		between, wording.Counted(e.N, "opening", "openings"), sameParts(e), wording.Level("q", e.Q), witness(e))
}

// sizes returns the ends of a range on one side of zero without their sign, the
// smaller first.
func sizes(a, b float64) (low, high float64) {
	a, b = math.Abs(a), math.Abs(b)
	return min(a, b), max(a, b)
}

// sameParts returns how many parts give evidence by being opened again.
func sameParts(e drift.Entry) string {
	if e.Part != "" {
		return "one part"
	}
	return wording.Counted(e.Blocks, "part opened again", "parts opened again")
}

// witness states whether the second test (blocked Kendall) agrees, "" if it could not
// be made.
func witness(e drift.Entry) string {
	if math.IsNaN(e.WitnessP) {
		return ""
	}
	says := "does not confirm it"
	if e.WitnessP <= trend.ByChance && math.Signbit(e.WitnessSlope) == (e.Verdict == drift.Falling) {
		says = "agrees"
	}
	return "; the witness " + says + ", " + wording.Level("p", e.WitnessP)
}

// driftDetails returns sentences on when a running watch would have raised an alarm,
// and on the evidence of parts opened only once.
func driftDetails(e drift.Entry, u dataset.Units) []string {
	var out []string
	if !e.AlarmFrom.IsZero() {
		out = append(out, "A running watch over the openings would have raised an alarm in "+wording.Month(e.AlarmFrom)+".")
	}
	if e.SinglesN > 0 && !math.IsNaN(e.SinglesSlope) {
		out = append(out, singlesSentence(e, u))
	}
	if !math.IsNaN(e.CombinedPerYear) {
		half := (e.CombinedHigh - e.CombinedLow) / 2
		out = append(out, fmt.Sprintf("Both together: %s a year (%s).", SignedYearly(e, u, e.CombinedPerYear, half),
			wording.Range95(SignedYearly(e, u, e.CombinedLow, half), SignedYearly(e, u, e.CombinedHigh, half))))
	}
	return out
}

// singlesSentence states the weaker evidence of parts opened only once.
func singlesSentence(e drift.Entry, u dataset.Units) string {
	half := (e.SinglesHigh - e.SinglesLow) / 2
	return fmt.Sprintf("Weaker evidence from %s, against the size trend: %s a year (%s).",
		wording.Counted(e.SinglesN, "part opened once", "parts opened once"), SignedYearly(e, u, e.SinglesSlope, half),
		wording.Range95(SignedYearly(e, u, e.SinglesLow, half), SignedYearly(e, u, e.SinglesHigh, half)))
}

// SignedYearly returns an amount a year with its sign.
func SignedYearly(e drift.Entry, u dataset.Units, v, half float64) string {
	return wording.Signed(v, yearly(e, u, v, half))
}
