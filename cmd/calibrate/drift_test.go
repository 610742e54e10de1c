package main

import (
	"runtime"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
)

func TestDriftTableDoesNotDependOnCores(t *testing.T) {
	o := sim.GaugeOptions{Drift: -0.01}
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	one, err := simulate(o, 6, 3)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	four, err := simulate(o, 6, 3)
	if err != nil {
		t.Fatal(err)
	}
	if one != four {
		t.Errorf("one core: %+v, four: %+v", one, four)
	}
	// 0.01 mm a year is more than ten standard errors of the slope, so it must be
	// found in every log.
	if one.found[methodDrift] != 6 || one.found[methodOracle] != 6 {
		t.Errorf("found %d and by the oracle %d times of 6", one.found[methodDrift], one.found[methodOracle])
	}
}

func TestStepIsCounted(t *testing.T) {
	tally, err := simulate(sim.GaugeOptions{Step: -0.06}, 6, 1)
	if err != nil {
		t.Fatal(err)
	}
	if tally.found[methodDrift] != 6 || tally.scanned != 6 || tally.datedKnowing != 6 {
		t.Errorf("a step of ten standard deviations of a reading: %+v", tally)
	}
	if tally.dated < 5 || tally.stepCovered < tally.steps-1 || tally.dateCovered < tally.steps-2 {
		t.Errorf("dated %d times of 6, covered %d and %d of %d", tally.dated, tally.dateCovered, tally.stepCovered, tally.steps)
	}
}

func TestDriftTablesHaveTheirLines(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation, which runs without -short")
	}
	var out strings.Builder
	if err := runDrift([]string{"-runs", "1", "-weekly", "1", "-logs", "1"}, &out); err != nil {
		t.Fatal(err)
	}
	tables := 0
	head := ""
	for line := range strings.Lines(out.String()) {
		if !strings.HasPrefix(line, "|") {
			head = ""
			continue
		}
		if head == "" {
			head, tables = line, tables+1
		}
		if strings.Count(line, "|") != strings.Count(head, "|") {
			t.Errorf("columns of %q differ from those of the head", line)
		}
	}
	if lines := strings.Count(out.String(), "\n|"); tables != 3 || lines != 3*2+27+6+1 {
		t.Errorf("%d tables with %d lines", tables, lines)
	}
	if !strings.Contains(out.String(), "any verdict in") {
		t.Error("nothing about whole logs")
	}
}
