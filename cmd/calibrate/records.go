package main

import (
	"fmt"
	"io"
	"math/rand/v2"
	"slices"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/roundup"
)

// recordsTable measures how many records are reported in logs without a true
// record, and how often those of a planted part are found.
func recordsTable(w io.Writer, sizes []int, runs int, seed uint64) error {
	fmt.Fprintf(w, "Records told in the roundup of the last year; %d logs a line. No part changes; records of parts that have no earlier value may be true and are left out, so that all others are none. Planted: in the last year one part more, by a tenth beyond every other in gauge, media and mass.\n\n", runs)
	fmt.Fprintln(w, "| openings | noise | planted | false records a log | logs with any (bar 0.05) | of the planted part's three: found |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- |")
	return eachYearly(sizes, func(o sim.FilterOptions, plant bool) error {
		o.Largest = plant
		each, err := inParallel(runs, seed, func(rng *rand.Rand) ([2]int, error) { return judgeRecords(o, rng) })
		if err != nil {
			return err
		}
		records, logs, found := 0, 0, 0
		for _, e := range each {
			records += e[0]
			found += e[1]
			if e[0] > 0 {
				logs++
			}
		}
		of := 0
		if plant {
			of = len(plantedRecords) * runs
		}
		fmt.Fprintf(w, "| %d | %s | %s | %.2f | %s | %s |\n", o.Openings, o.Noise, yesNo(plant), float64(records)/float64(runs), share(logs, runs), share(found, of))
		return nil
	})
}

// plantedRecords lists the measures in which the planted part exceeds every other.
var plantedRecords = []string{"can_gauge", "media_area", "total_mass"}

func judgeRecords(o sim.FilterOptions, rng *rand.Rand) ([2]int, error) {
	log, r, err := lastYear(o, rng)
	if err != nil {
		return [2]int{}, err
	}
	var out [2]int
	for _, record := range r.Records {
		switch {
		case record.Part != sim.LargestPart:
			if knownBefore(log.Log, record, r.Year) {
				out[0]++
			}
		case record.Highest && slices.Contains(plantedRecords, record.Measure):
			out[1]++
		}
	}
	return out, nil
}

// knownBefore reports whether the part of a record has a value of its measure from an
// earlier year.
func knownBefore(log *dataset.Log, record roundup.Record, year int) bool {
	values := log.Floats(record.Measure)
	for row, v := range values {
		when, _, dated := log.Opened(row)
		if dated && when.Year() < year && v == v && log.Word(row, "maker") == record.Maker && log.Word(row, "part") == record.Part {
			return true
		}
	}
	return false
}
