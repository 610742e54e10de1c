package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"

	"pleatstat/cmd/calibrate/sim"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// cleanTable writes how often there is any verdict on a log of all measures in which
// nothing changes but the level of prices of the whole market.
func cleanTable(stdout io.Writer, runs int, seed uint64) error {
	each, err := inParallel(runs, seed, func(rng *rand.Rand) (bool, error) {
		var text bytes.Buffer
		if _, err := sim.Workshop(&text, sim.WorkshopOptions{Clean: true, Seed: rng.Uint64N(1 << 32)}); err != nil {
			return false, err
		}
		log, err := dataset.Read(&text, "clean.csv", dataset.Options{})
		if err != nil {
			return false, err
		}
		entries, err := drift.Analyse(log, drift.Options{})
		return anyVerdict(entries), err
	})
	if err != nil {
		return err
	}
	wrong := 0
	for _, w := range each {
		if w {
			wrong++
		}
	}
	fmt.Fprintf(stdout, "\nWhole logs as the demo's, all measures, nothing changes but everybody's prices: any verdict in %s of %d logs.\n", share(wrong, runs), runs)
	return nil
}
