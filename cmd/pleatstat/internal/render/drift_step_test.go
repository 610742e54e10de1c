package render

import (
	"strings"
	"testing"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// A verdict that rests on a step is told as one, its line with signs throughout.
func TestStepIsToldAsAStep(t *testing.T) {
	e := storedDrift()[1]
	e.AsStep, e.Verdict = true, drift.Falling
	e.PerYear, e.Low, e.High = -0.0007, -0.0034, 0.002
	e.WitnessSlope, e.WitnessP = -0.001, 0.04
	e.ChangeFrom = on(2022, time.May, 14)
	got := driftSentence(e, dataset.Units{}) + changeSentence(e, dataset.Units{})
	got = strings.ReplaceAll(got, nbsp, " ")
	for _, want := range []string{"can gauge falls in one step, which a line does not tell as well: −0.0007 mm a year", "the witness agrees", "one step of 0.034 mm"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
}
