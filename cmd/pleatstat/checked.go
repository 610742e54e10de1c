package main

import (
	"fmt"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/check"
)

// soundLog is the log without the readings that are physically impossible, as
// every fit takes it.
func soundLog(log *dataset.Log) (*dataset.Log, error) {
	checked, err := check.Run(log, check.Options{})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	return log.SetAside(checked.SetAside), nil
}

// knownMakers checks makers named on the command line against the log.
func knownMakers(log *dataset.Log, makers []string) error {
	have := makersOf(log)
	for _, m := range makers {
		if !slices.Contains(have, m) {
			return noSuch("maker", m, have)
		}
	}
	return nil
}
