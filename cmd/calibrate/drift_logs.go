package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// cleanTable tells how often a whole log of all measures, in which nothing
// changes but the market's prices, is given any verdict. The logs are those of
// the demo's generator, which is built for it; run from the module's folder.
func cleanTable(stdout io.Writer, runs int, seed uint64) error {
	folder, err := os.MkdirTemp("", "calibrate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	generator := filepath.Join(folder, "gen")
	if out, err := exec.Command("go", "build", "-o", generator, "./testdata/gen").CombinedOutput(); err != nil {
		return fmt.Errorf("building the generator of logs: %w\n%s", err, out)
	}
	each, err := inParallel(runs, seed, func(rng *rand.Rand) (bool, error) {
		text, err := exec.Command(generator, "-clean", "-seed", strconv.FormatUint(rng.Uint64N(1<<32), 10)).Output()
		if err != nil {
			return false, fmt.Errorf("generating a log: %w", err)
		}
		log, err := dataset.Read(bytes.NewReader(text), "clean.csv", dataset.Options{})
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
