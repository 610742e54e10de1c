package main

import (
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/num"
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
	// 0.01 mm a year is ten standard errors of the slope: nobody misses it.
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

// The oracle's p is even where nothing changes, as it knows the noise.
func TestOracleHasItsLevel(t *testing.T) {
	below, makers := 0, 0
	for run := range 60 {
		log, err := sim.NewGaugeLog(sim.GaugeOptions{}, rand.New(rand.NewPCG(8, uint64(run))))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range log.Makers {
			if makers++; oracle(m) <= 0.2 {
				below++
			}
		}
	}
	share := float64(below) / float64(makers)
	if se := math.Sqrt(0.2 * 0.8 / float64(makers)); math.Abs(share-0.2) > 3*se {
		t.Errorf("p is 0.2 or less for %.3f of %d makers, standard error %.3f", share, makers, se)
	}
}

func TestLikeliestStep(t *testing.T) {
	parts := []num.Series{
		{T: []float64{0, 1, 2, 3, 4}, Y: []float64{0.50, 0.50, 0.46, 0.46, 0.46}},
		{T: []float64{0.5, 2.5}, Y: []float64{0.40, 0.36}},
		{T: []float64{3.5}, Y: []float64{0.30}}, // says nothing
	}
	at, z, dates := likeliestStep(parts)
	// Information: 2·3/5 + 1·1/2 readings at the date 2; every date after the
	// first splits a part.
	if want := 0.04 * math.Sqrt(1.2+0.5) / sim.ReadingSD(); at != 2 || math.Abs(z-want) > 1e-9 || dates != 7 {
		t.Errorf("at %g, z %g, %d dates; want 2, %g, 7", at, z, dates, want)
	}
	if at, z, dates := likeliestStep(parts[2:]); !math.IsNaN(at) || z != 0 || dates != 0 {
		t.Errorf("one reading: %g, %g, %d", at, z, dates)
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
