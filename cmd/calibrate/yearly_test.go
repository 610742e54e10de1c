package main

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/stats/roundup"
)

// Every table must have a line for each kind of noise, without and with something
// planted, with the columns of its head. Equal seeds must give equal tables.
func TestYearlyTables(t *testing.T) {
	for _, name := range []string{"places", "records", "lines"} {
		var tables [2]strings.Builder
		for i := range tables {
			if name == "places" && i > 0 { // the slowest table is made once
				tables[1].WriteString(tables[0].String())
				break
			}
			if err := run([]string{name, "-runs", "1", "-openings", "60", "-seed", "4"}, &tables[i]); err != nil {
				t.Fatal(err)
			}
		}
		if tables[0].String() != tables[1].String() {
			t.Errorf("%s: two runs of one seed differ", name)
		}
		_, table, _ := strings.Cut(tables[0].String(), "\n\n")
		rows := strings.Split(strings.TrimSpace(table), "\n")
		if len(rows) != 2+6 {
			t.Errorf("%s: %d lines, want a head and six", name, len(rows))
		}
		for _, row := range rows {
			if strings.Count(row, "|") != strings.Count(rows[0], "|") {
				t.Errorf("%s: columns of %q differ from those of the head", name, row)
			}
		}
		if err := run([]string{name, "-openings", "many"}, &tables[0]); err == nil || !strings.Contains(err.Error(), "-openings") {
			t.Errorf("%s: openings that are no number: %v", name, err)
		}
	}
}

func TestLargestPartIsBeyondEveryOther(t *testing.T) {
	o := yearlyLog(60, sim.Normal)
	o.Largest = true
	s, err := filterLog(o, rand.New(rand.NewPCG(2, 2)))
	if err != nil {
		t.Fatal(err)
	}
	largest := s.Largest()
	for _, m := range plantedRecords {
		for _, f := range s.Filters {
			if f.Truth(m, 0)*1.0999 > largest.Truth(m, 0) {
				t.Errorf("%s of %s %s is %g, of the largest part %g", m, f.Maker, f.Part, f.Truth(m, 0), largest.Truth(m, 0))
			}
		}
	}
	if !slices.Contains(s.Strings("part"), sim.LargestPart) {
		t.Error("the largest part was not opened")
	}
	found, err := judgeRecords(o, rand.New(rand.NewPCG(2, 2)))
	if err != nil || found[1] == 0 {
		t.Errorf("no record of the largest part: %v, %v", found, err)
	}
}

// A part is known before a year only if it has a value from an earlier year.
func TestKnownBefore(t *testing.T) {
	o := yearlyLog(60, sim.Normal)
	o.Largest = true
	s, err := filterLog(o, rand.New(rand.NewPCG(2, 2)))
	if err != nil {
		t.Fatal(err)
	}
	first := s.Filters[0]
	const last = 2024
	if r := (roundup.Record{Maker: first.Maker, Part: first.Part, Measure: "can_gauge"}); !knownBefore(s.Log, r, last+1) || knownBefore(s.Log, r, 2019) {
		t.Error("a part opened through the years was known before the last and not before the first")
	}
	if knownBefore(s.Log, roundup.Record{Maker: first.Maker, Part: sim.LargestPart, Measure: "can_gauge"}, last) {
		t.Error("the part opened in the last year only was known before")
	}
}

// Most ranges of places must cover the true place, and a maker with much thinner
// cans must be found.
func TestPlacesAndLinesOfOneLog(t *testing.T) {
	o := yearlyLog(120, sim.Normal)
	places, err := judgePlaces(o, rand.New(rand.NewPCG(6, 6)))
	if err != nil {
		t.Fatal(err)
	}
	if places.tables == 0 || places.inside*10 < places.places*9 || places.width > 0.8*float64(places.tables) {
		t.Errorf("places of one log: %+v", places)
	}
	o.Changes = []sim.Change{{Measure: "can_gauge", Step: -0.25}}
	lines, err := judgeLines(o, rand.New(rand.NewPCG(6, 6)))
	if err != nil {
		t.Fatal(err)
	}
	if lines.found != 1 || lines.gauge != 0 {
		t.Errorf("lines of one log: %+v", lines)
	}
}
