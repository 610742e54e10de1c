package changes

import (
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// A verdict that rests on a step is reported as a step, with its tests, whatever a
// straight line through the readings does.
func TestStepIsToldAsAStep(t *testing.T) {
	e := drift.Entry{Maker: "Veldmarsh", Measure: "can_gauge", N: 31, Blocks: 5, Q: 2e-5, Verdict: drift.Falling,
		AsStep: true, PerYear: -0.0007, Low: -0.0034, High: 0.002, WitnessSlope: -0.001, WitnessP: 0.04,
		Statement: drift.Statement{Shape: drift.AsStep, By: -0.034, Low: -0.041, High: -0.026, From: time.Date(2022, time.May, 14, 0, 0, 0, 0, time.UTC)}}
	got := wording.Spaced(driftSentence(e, dataset.Units{}))
	if want := "can gauge falls by 0.034 mm in one step around May 2022 (95 % range 0.026 mm to 0.041 mm; 31 openings, 5 parts opened again; q below 0.0001; the witness agrees, p = 0.04)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
