package render_test

import (
	"strings"
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/findings"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/drift"
	"pleatstat/stats/report"
)

// A step is reported as a step and a slope as a slope, never both, with the readings of
// a part then and now.
func TestAChangeIsToldOneWay(t *testing.T) {
	step := storedDrift()[1]
	since, slope, bare, pleats := step, step, step, step
	since.Statement.Shape, since.Statement.By = drift.AsSlopeSince, -0.015
	slope.Statement.Shape, slope.Statement.By, slope.Statement.From = drift.AsSlope, -0.0102, time.Time{}
	bare.Statement.Now.Value = 0.438 // the difference is below the digits shown
	pleats.Measure, pleats.Statement.By = "pleats", -5.02
	pleats.Statement.Example, pleats.Statement.Then.Value, pleats.Statement.Now.Value = "PB-1", 65.67, 61
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
		if got := wording.Spaced(changes.Sentence(c.e, benchUnits(t), true)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// However many makers changed and parts are off, the short form stays short and leaves
// out trifles.
func TestInShortHasSevenLinesAtMost(t *testing.T) {
	f := storedFindings(t)
	trifle := storedDrift()[1]
	trifle.Maker, trifle.Statement.By = "Lowmere", -0.001
	f.Drift = []drift.Entry{trifle}
	for _, maker := range []string{"Veldmarsh", "Brackhollow", "Orrinvale", "Skerrow"} {
		e := storedDrift()[1]
		e.Maker = maker
		f.Drift = append(f.Drift, e)
	}
	cheap := storedJudgement().Verdict
	cheap.Direction, cheap.Part = "below", "TQ-1"
	f.Verdicts = append(f.Verdicts, cheap)
	lines := findings.InShort(f)
	if len(lines) != 7 {
		t.Fatalf("%d lines: %q", len(lines), lines)
	}
	if !strings.Contains(lines[1], "Veldmarsh") || lines[3] != "Also changed: Orrinvale and Skerrow." || !strings.Contains(lines[4], "TQ-1") {
		t.Errorf("not in the order of what an audience wants: %q", lines)
	}
	if none := findings.InShort(&report.Findings{Usable: 60, Drift: storedDrift()[:1]}); len(none) != 1 || !strings.Contains(none[0], "60") {
		t.Errorf("a log where nothing is off: %q", none)
	}
}
