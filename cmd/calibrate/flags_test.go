package main

import (
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
)

func TestFlagsTableDoesNotDependOnCores(t *testing.T) {
	s := scenario{n: 40, share: 0.1, factor: 2.2, place: large, noise: skewed}
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	one, err := s.simulate(12, 3)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	four, err := s.simulate(12, 3)
	if err != nil {
		t.Fatal(err)
	}
	if one != four {
		t.Errorf("one core: %v, four: %v", one, four)
	}
	if one.oracle.power < 0.2 || one.in95 < 0.8 {
		t.Errorf("implausible: %v", one)
	}
}

func TestScenariosPlantWhatTheySay(t *testing.T) {
	for _, s := range grid(true) {
		if s.n > 120 {
			continue
		}
		all, err := inParallel(3, 1, func(rng *rand.Rand) (shelf, error) { return s.draw(rng), nil })
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range all {
			planted, widest := 0, 0.0
			for i, bad := range m.planted {
				if bad {
					planted++
				} else {
					widest = max(widest, m.area[i])
				}
			}
			if want := int(s.share*float64(s.n) + 0.5); planted != want {
				t.Errorf("%v: %d planted, want %d", s, planted, want)
			}
			for i, bad := range m.planted {
				if bad && s.place == largest && m.area[i] < widest {
					t.Errorf("%v: a planted part is not among the largest", s)
				}
			}
		}
	}
}

func TestRunNamesTheHarnesses(t *testing.T) {
	var out strings.Builder
	if err := run([]string{"rust"}, &out); err == nil || !strings.Contains(err.Error(), "flags") {
		t.Errorf("unknown harness: %v", err)
	}
	if err := run(nil, &out); err == nil {
		t.Error("nothing asked for is not an error")
	}
	if err := run([]string{"flags", "-runs", "0"}, &out); err == nil {
		t.Error("no runs is not an error")
	}
}
