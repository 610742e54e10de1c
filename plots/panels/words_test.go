package panels

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/drift"
)

var (
	titleAmount = regexp.MustCompile(`has (fallen|risen)(?: in one step)? by ([0-9.]+)`)
	headAmount  = regexp.MustCompile(`^([−+]?[0-9.]+)[^(]*(?:\(([−+]?[0-9.]+) to ([−+]?[0-9.]+)\))?$`)
)

// In simulated logs with a step and a slope in the opposite direction, half of them
// with entry errors, the title and the heads of the panels must give the direction
// of the verdict, and the estimate in a head must lie in its range.
func TestTitlesPointTheWayOfTheVerdict(t *testing.T) {
	logs := 100
	if testing.Short() {
		logs = 20
	}
	moved := 0
	for i := range logs {
		rng := rand.New(rand.NewPCG(uint64(i), 51))
		step := 0.05 * (2*rng.Float64() - 1)
		log, err := sim.NewGaugeLog(sim.GaugeOptions{Makers: 4, Noise: []sim.Noise{sim.Normal, sim.EntryErrors}[i%2], Step: step, Drift: -step / 6 * rng.Float64()}, rng)
		if err != nil {
			t.Fatal(err)
		}
		entries, err := drift.Analyse(log.Log, drift.Options{Measures: []string{"can_gauge"}})
		if err != nil {
			t.Fatal(err)
		}
		v := New(entries, "can_gauge", "", log.Units())
		title := v.Title()
		var fell, rose []string
		for _, e := range entries {
			if e.Part != "" || e.Verdict == drift.TooFew {
				continue
			}
			where := fmt.Sprintf("log %d, %s (%s)", i, e.Maker, e.Verdict)
			switch e.Verdict {
			case drift.Falling:
				fell = append(fell, e.Maker)
			case drift.Rising:
				rose = append(rose, e.Maker)
			}
			checkHead(t, where, v.headLines(e, heads{rows: 1, decimals: v.decimals(e.PerYear, e.Low, e.High)})[0], e.Verdict)
		}
		moved += len(fell) + len(rose)
		switch m := titleAmount.FindStringSubmatch(title); {
		case len(fell)+len(rose) == 1:
			if m == nil || (m[1] == "fallen") != (len(fell) == 1) || strings.Trim(m[2], "0.") == "" || !strings.Contains(title, append(fell, rose...)[0]) {
				t.Errorf("log %d: %q; fell %v, rose %v", i, title, fell, rose)
			}
		case len(fell)+len(rose) == 0:
			if !strings.HasPrefix(title, "No ") {
				t.Errorf("log %d: %q, and nobody changed", i, title)
			}
		default:
			falling, rising, _ := strings.Cut(title, "rising at")
			for _, maker := range fell {
				if !strings.Contains(falling, maker) {
					t.Errorf("log %d: %q; fell %v, rose %v", i, title, fell, rose)
				}
			}
			for _, maker := range rose {
				if !strings.Contains(rising, maker) {
					t.Errorf("log %d: %q; fell %v, rose %v", i, title, fell, rose)
				}
			}
		}
	}
	t.Logf("%d changes", moved)
	if moved < logs/2 {
		t.Error("too few for the test to tell anything")
	}
}

func checkHead(t *testing.T, where, head string, verdict drift.Verdict) {
	t.Helper()
	m := headAmount.FindStringSubmatch(head)
	if m == nil {
		t.Fatalf("%s: %q", where, head)
	}
	value := func(s string) float64 {
		v, err := strconv.ParseFloat(strings.ReplaceAll(s, "−", "-"), 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	by := value(m[1])
	if verdict == drift.Falling && by >= 0 || verdict == drift.Rising && by <= 0 {
		t.Errorf("%s: %q", where, head)
	}
	if m[2] != "" && (by < value(m[2]) || by > value(m[3])) {
		t.Errorf("%s: %q outside its range", where, head)
	}
}
