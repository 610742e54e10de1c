package main

import (
	"fmt"
	"io"
	"math/rand/v2"

	"pleatstat/cmd/calibrate/sim"
)

// linesMoved is how much thinner the planted maker's cans are, mm.
const linesMoved = 0.08

// linesTable measures how often the roundup of the last year reports a maker as
// off the line of a table of makers although its parts are like all others, and
// how often a maker with thinner cans is found.
func linesTable(w io.Writer, sizes []int, runs int, seed uint64) error {
	fmt.Fprintf(w, "Makers told as off a line in the makers' tables of the last year; parts of all makers are drawn from one distribution; planted: the cans of one maker's parts are %g mm thinner. %d logs a line.\n\n", linesMoved, runs)
	fmt.Fprintln(w, "| openings | noise | planted | innocent makers told: logs with any by can gauge | by price | by either (bar 0.05) | planted maker found |")
	fmt.Fprintln(w, "| --- | --- | --- | --- | --- | --- | --- |")
	return eachYearly(sizes, func(o sim.FilterOptions, plant bool) error {
		words, of := "none", 0
		if plant {
			o.Changes, words, of = []sim.Change{{Measure: "can_gauge", Step: -linesMoved}}, "one maker", runs
		}
		each, err := inParallel(runs, seed, func(rng *rand.Rand) (linesTally, error) { return judgeLines(o, rng) })
		if err != nil {
			return err
		}
		var gauge, price, either, found int
		for _, e := range each {
			gauge += e.gauge
			price += e.price
			either += max(e.gauge, e.price)
			found += e.found
		}
		fmt.Fprintf(w, "| %d | %s | %s | %s | %s | %s | %s |\n", o.Openings, o.Noise, words, share(gauge, runs), share(price, runs), share(either, runs), share(found, of))
		return nil
	})
}

// linesTally is the result of one log: 1 if an unchanged maker is reported as off the
// line of can gauge or of price, and 1 if the planted one is found.
type linesTally struct{ gauge, price, found int }

func judgeLines(o sim.FilterOptions, rng *rand.Rand) (linesTally, error) {
	var t linesTally
	_, r, err := lastYear(o, rng)
	if err != nil {
		return t, err
	}
	for _, table := range r.Makers {
		for _, row := range table.Rows {
			switch {
			case row.Side == 0:
			case len(o.Changes) > 0 && row.Maker == sim.MakerName(o.Changes[0].Maker):
				if table.Measure == "can_gauge" {
					t.found = 1
				}
			case table.Measure == "can_gauge":
				t.gauge = 1
			default:
				t.price = 1
			}
		}
	}
	return t, nil
}
