package render

import (
	"strings"
	"testing"

	"pleatstat/dataset"
)

// A verdict that rests on a step is told as one, with its tests, whatever the line
// through it does.
func TestStepIsToldAsAStep(t *testing.T) {
	e := storedDrift()[1]
	e.AsStep, e.PerYear, e.Low, e.High = true, -0.0007, -0.0034, 0.002
	e.WitnessSlope, e.WitnessP = -0.001, 0.04
	got := strings.ReplaceAll(driftSentence(e, dataset.Units{}), nbsp, " ")
	if want := "can gauge falls by 0.034 mm in one step around May 2022 (95 % range 0.026 mm to 0.041 mm; 31 openings, 5 parts opened again; q below 0.0001; the witness agrees, p = 0.04)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
