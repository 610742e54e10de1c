package price

import (
	"math"
	"testing"
)

func TestDisagreement(t *testing.T) {
	j := Judgement{
		Verdict: Fair, Paid: 12, Fair: 11, Low95: 8, High95: 15, AreaOnly: AreaOnly{Fair: 8, Low95: 6, High95: 10.5},
		Contributions: []Contribution{
			{"media_area", "500", 1.4}, {"can_gauge", "0.5", 1.05}, {"media_type", "synthetic", 1.2}, {"magnet", "yes", 1.01},
			{"drain_back", "none", 0.9}, {"opened", "2024-05", 1.1},
		},
	}
	d, ok := j.Disagreement()
	if !ok || d.Contents != 0 || d.Area != 1 || math.Abs(d.Ratio-11.0/8) > 1e-12 {
		t.Fatalf("%+v, %v", d, ok)
	}
	// The strongest first; what moves the price the other way, hardly, with
	// time or with the area explains nothing.
	if len(d.Because) != 2 || d.Because[0].Content != "media_type" || d.Because[1].Content != "can_gauge" {
		t.Errorf("because %+v", d.Because)
	}
	// Fair prices alike, a narrower range by area: no content is the reason.
	wide := j
	wide.AreaOnly = AreaOnly{Fair: 11, Low95: 10.2, High95: 11.5}
	if d, ok := wide.Disagreement(); !ok || !d.ByWidth || d.Because != nil {
		t.Errorf("ranges of two widths: %+v, %v", d, ok)
	}
	// The same at the lower ends, where the contents say less, not more.
	low := wide
	low.Paid, low.Fair, low.Low95, low.High95 = 6, 7, 5.5, 9
	low.AreaOnly = AreaOnly{Fair: 9, Low95: 7, High95: 12}
	if d, ok := low.Disagreement(); !ok || d.ByWidth || d.Area != -1 || len(d.Because) != 1 || d.Because[0].Content != "drain_back" {
		t.Errorf("contents that are worth less: %+v, %v", d, ok)
	}
	j.AreaOnly.High95 = 13
	if _, ok := j.Disagreement(); ok {
		t.Error("both inside their ranges")
	}
	if _, ok := (Judgement{Verdict: TooFew, Paid: math.NaN()}).Disagreement(); ok {
		t.Error("no verdict to disagree with")
	}
}
