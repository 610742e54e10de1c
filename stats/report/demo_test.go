package report

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// truth is what the generator of the demo log planted.
type truth struct {
	Prices []struct {
		Kind, Maker, Part string
		Factor            float64
	}
	Drift []struct {
		Maker, Measure string
		From           float64
		Step           float64
		PerYear        float64 `json:"per_year"`
	}
	Slips []struct {
		Kind  string
		Line  int
		Cells []struct{ Column string }
	}
}

func demo(t *testing.T) (*Findings, truth) {
	t.Helper()
	dir := filepath.Join("..", "..", "testdata", "demo")
	log, err := dataset.ReadFile(filepath.Join(dir, "harbour.csv"), dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f, err := Build(context.Background(), log, Options{})
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(dir, "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var planted truth
	if err := json.Unmarshal(text, &planted); err != nil {
		t.Fatal(err)
	}
	if len(planted.Prices) == 0 || len(planted.Drift) == 0 || len(planted.Slips) == 0 {
		t.Fatalf("truth.json plants nothing: %+v", planted)
	}
	return f, planted
}

// The report finds every planted price and calls nothing else clear, except a
// product with a slip of the pen behind its flag.
func TestDemoClearFlagsAreThePlantedPrices(t *testing.T) {
	f, planted := demo(t)
	want := map[string]trend.FlagKind{}
	for _, p := range planted.Prices {
		want[p.Maker+" "+p.Part] = trend.FlagKind(p.Kind)
	}
	slipped := map[int]bool{}
	for _, s := range planted.Slips {
		slipped[s.Line] = true
	}
	for _, flag := range f.Flags {
		if flag.Grade == trend.Hint {
			continue
		}
		name := flag.Maker + " " + flag.Part
		if flag.Kind == want[name] {
			delete(want, name)
			continue
		}
		if !slices.ContainsFunc(flag.Lines, func(line int) bool { return slipped[line] }) {
			t.Errorf("%s is called %s on %s (ratio %.2f, q %.3g) and nothing was planted there", name, flag.Kind, flag.Trend, flag.Ratio, flag.Q)
		}
	}
	for name, kind := range want {
		t.Errorf("%s was planted as %s and is not flagged beyond a hint", name, kind)
	}
}

// The verdict by contents agrees with the planted factor.
func TestDemoPriceVerdictsOnPlantedParts(t *testing.T) {
	f, planted := demo(t)
	for _, p := range planted.Prices {
		at := slices.IndexFunc(f.Verdicts, func(v price.Verdict) bool { return v.Maker == p.Maker && v.Part == p.Part })
		if at < 0 {
			t.Errorf("%s %s has no price verdict", p.Maker, p.Part)
			continue
		}
		v := f.Verdicts[at]
		want := price.Above
		if p.Kind == "bargain" {
			want = price.Below
		}
		if v.Grade != trend.Clear && v.Grade != trend.Probable || v.Direction != want {
			t.Errorf("%s %s: %s %s, want it told %s", p.Maker, p.Part, v.Grade, v.Direction, want)
		}
		// The range of the usual price gives one of the ratio.
		if low, high := v.Price/v.High, v.Price/v.Low; p.Factor < low || p.Factor > high {
			t.Errorf("%s %s: %.2f times (%.2f to %.2f) misses the planted %.2f", p.Maker, p.Part, v.Ratio, low, high, p.Factor)
		}
	}
}

// Every planted drift is found at its maker and measure, in its direction; no
// other maker is named for that measure.
func TestDemoDriftIsFound(t *testing.T) {
	f, planted := demo(t)
	for _, p := range planted.Drift {
		for _, e := range f.Drift {
			if e.Measure != p.Measure || e.Part != "" {
				continue
			}
			moved := e.Verdict == drift.Falling || e.Verdict == drift.Rising
			if e.Maker != p.Maker {
				if moved {
					t.Errorf("%s: %s is %s (q %.3g) and nothing was planted there", p.Measure, e.Maker, e.Verdict, e.Q)
				}
				continue
			}
			if e.Verdict != drift.Falling {
				t.Errorf("%s of %s: verdict %s, want falling", p.Measure, p.Maker, e.Verdict)
			}
			if e.ChangeFrom.IsZero() {
				t.Errorf("%s of %s: no date of change", p.Measure, p.Maker)
				continue
			}
			from := float64(e.ChangeFrom.Year()) + float64(e.ChangeFrom.YearDay()-1)/365.25
			if math.Abs(from-p.From) > 1 {
				t.Errorf("%s of %s: changed from %.2f, planted %.2f", p.Measure, p.Maker, from, p.From)
			}
			if p.Step != 0 && (p.Step < e.StepLow-0.5 || p.Step > e.StepHigh+0.5) {
				t.Errorf("%s of %s: step %.2f (%.2f to %.2f), planted %.2f", p.Measure, p.Maker, e.Step, e.StepLow, e.StepHigh, p.Step)
			}
		}
	}
}

// Each slip is reported on its line at one of its cells, and no other line is
// called doubtful.
func TestDemoSlipsAreTheOnlyDoubtfulReadings(t *testing.T) {
	f, planted := demo(t)
	found := map[int][]string{}
	for _, p := range f.Problems {
		if p.Severity != dataset.Note {
			found[p.Line] = append(found[p.Line], p.Name)
		}
	}
	for _, s := range planted.Slips {
		names := found[s.Line]
		delete(found, s.Line)
		if !slices.ContainsFunc(s.Cells, func(c struct{ Column string }) bool {
			return slices.ContainsFunc(names, func(name string) bool { return len(c.Column) >= len(name) && c.Column[:len(name)] == name })
		}) {
			t.Errorf("%s slip on line %d: reported at %v, planted in %v", s.Kind, s.Line, names, s.Cells)
		}
	}
	for line, names := range found {
		t.Errorf("line %d is called doubtful (%v) and nothing was planted there", line, names)
	}
}
