package render

import (
	"strings"
	"testing"
	"time"

	"pleatstat/stats/drift"
	"pleatstat/stats/report"
	"pleatstat/stats/roundup"
)

// A step is told as a step and a slope as a slope, never both, with the readings
// of a part then and now.
func TestAChangeIsToldOneWay(t *testing.T) {
	step := storedDrift()[1]
	since, slope, bare, pleats := step, step, step, step
	since.Told.Shape, since.Told.By = drift.AsSlopeSince, -0.015
	slope.Told.Shape, slope.Told.By, slope.Told.From = drift.AsSlope, -0.0102, time.Time{}
	bare.Told.Now.Value = 0.438 // the digits of the bench do not show it
	pleats.Measure, pleats.Told.By = "pleats", -5.02
	pleats.Told.Example, pleats.Told.Then.Value, pleats.Told.Now.Value = "PB-1", 65.67, 61
	for _, c := range []struct {
		name string
		e    drift.Entry
		want string
	}{
		{"step", step, "Around May 2022 Veldmarsh's cans became thinner by 0.03 mm (VM-2: 0.44 mm, now 0.41 mm)."},
		{"slope since", since, "Veldmarsh's cans have thinned by 0.015 mm a year since May 2022 (VM-2: 0.44 mm, now 0.41 mm)."},
		{"slope", slope, "Veldmarsh's cans have thinned by 0.01 mm a year (VM-2: 0.44 mm, now 0.41 mm)."},
		{"not shown", bare, "Around May 2022 Veldmarsh's cans became thinner by 0.03 mm."},
		{"pleats", pleats, "Around May 2022 Veldmarsh's filters lost five pleats (PB-1: 66, now 61)."},
		{"against the market", storedDrift()[3], "The price of Pellbrook's filters has risen by 4 % a year against the market."},
	} {
		if got := strings.ReplaceAll(changeSentence(c.e, benchUnits(t), true), nbsp, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestSharesAsTheyAreSaid(t *testing.T) {
	for share, want := range map[float64]string{0.1: "a tenth", 0.087: "a tenth", 0.19: "a fifth", 0.5: "half", 0.07: "7 %", 0.03: "3 %"} {
		if got := strings.ReplaceAll(shareSaid(share), nbsp, " "); got != want {
			t.Errorf("%g is said as %q, want %q", share, got, want)
		}
	}
}

// However many makers changed and parts are off, the short form stays short, and
// has no trifles.
func TestInShortHasSevenLinesAtMost(t *testing.T) {
	f := storedFindings(t)
	trifle := storedDrift()[1]
	trifle.Maker, trifle.Told.By = "Lowmere", -0.001
	f.Drift = []drift.Entry{trifle}
	for _, maker := range []string{"Veldmarsh", "Brackhollow", "Orrinvale", "Skerrow"} {
		e := storedDrift()[1]
		e.Maker = maker
		f.Drift = append(f.Drift, e)
	}
	cheap := storedJudgement().Verdict
	cheap.Direction, cheap.Part = "below", "TQ-1"
	f.Verdicts = append(f.Verdicts, cheap)
	lines := InShort(f)
	if len(lines) != 7 {
		t.Fatalf("%d lines: %q", len(lines), lines)
	}
	if !strings.Contains(lines[1], "Veldmarsh") || lines[3] != "Also changed: Orrinvale and Skerrow." || !strings.Contains(lines[4], "TQ-1") {
		t.Errorf("not in the order of what an audience wants: %q", lines)
	}
	if none := InShort(&report.Findings{Usable: 60, Drift: storedDrift()[:1]}); len(none) != 1 || !strings.Contains(none[0], "60") {
		t.Errorf("a log where nothing is off: %q", none)
	}
}

// One measure of a part that differs is told with its readings; several of what is
// inside are another filter under the same number, a price beside one is not.
func TestWhatChangedInOnePart(t *testing.T) {
	s := speaker{&roundup.Roundup{}, benchUnits(t)}
	gauge := roundup.Change{Maker: "Skerrow", Part: "SK-1", Measure: "can_gauge", Since: 2023, Before: 0.41, Now: 0.36, Clear: true}
	pleats, price := gauge, gauge
	pleats.Measure, pleats.Before, pleats.Now = "pleats", 55, 48
	price.Measure, price.Before, price.Now, price.AboveMarket = "price", 8, 12, true
	for _, c := range []struct {
		all  []roundup.Change
		want string
	}{
		{[]roundup.Change{gauge}, "SK-1: can gauge is 0.36 mm, in 2023 it was 0.41 mm."},
		{[]roundup.Change{price, gauge}, "SK-1: price is $12.00, in 2023 it was $8.00, which the market alone does not explain; can gauge is 0.36 mm, in 2023 it was 0.41 mm."},
		{[]roundup.Change{gauge, pleats, price}, "SK-1 is not the same filter any more: can gauge and pleats changed since 2023."},
	} {
		if got := strings.ReplaceAll(s.changed("SK-1", c.all), nbsp, " "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A place among fewer parts than the year has says among how many it is.
func TestPlacesSayAmongHowMany(t *testing.T) {
	s := speaker{&roundup.Roundup{Opened: roundup.Opened{Products: 16}}, benchUnits(t)}
	table := roundup.Table{N: 13, Places: []roundup.Place{{Maker: "Skerrow", Part: "SK-1"}}}
	for said, want := range map[string]string{
		"Skerrow SK-1 has the deepest pleats.":              "Of the 13 parts with readings for it, Skerrow SK-1 has the deepest pleats.",
		"It is too close to tell which has the most media.": "Of the 13 parts with readings for it, it is too close to tell which has the most media.",
	} {
		if got := strings.ReplaceAll(s.amongMeasured(table, said), nbsp, " "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
		table := table
		if table.N = 16; s.amongMeasured(table, said) != said {
			t.Errorf("of all parts: %q", s.amongMeasured(table, said))
		}
	}
}

// When a change may have come does not read as how long it took.
func TestWhenAChangeMayHaveCome(t *testing.T) {
	day := func(year, month int) time.Time { return time.Date(year, time.Month(month), 5, 0, 0, 0, 0, time.UTC) }
	for want, told := range map[string]drift.Told{
		"between March and November 2023":            {Shape: drift.AsStep, Early: day(2023, 3), Late: day(2023, 11)},
		"began between December 2021 and April 2022": {Shape: drift.AsSlopeSince, Early: day(2021, 12), Late: day(2022, 4)},
	} {
		if got := strings.ReplaceAll(came(drift.Entry{Told: told}), nbsp, " "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
