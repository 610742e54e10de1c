package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/check"
)

// soundLog is the log without the readings that are physically impossible and
// the dates that cannot be, as every fit takes it.
func (a *app) soundLog(log *dataset.Log) (*dataset.Log, error) {
	checked, err := check.Run(log, check.Options{Today: a.today})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	return log.SetAside(checked.SetAside), nil
}

// tellNotices says what has to be said of a log beside a result for programs.
func (a *app) tellNotices(log *dataset.Log) {
	for _, n := range log.Notices() {
		a.complain(errors.New(n))
	}
}

// namedMakers finds the makers that a command line names. As with parts, case
// does not count where that leaves one maker; a name to the letter goes first.
func namedMakers(log *dataset.Log, names []string) ([]string, error) {
	have := makersOf(log)
	var out []string
	for _, name := range names {
		found := slices.DeleteFunc(slices.Clone(have), func(m string) bool { return !strings.EqualFold(m, name) })
		switch {
		case slices.Contains(have, name):
			found = []string{name}
		case len(found) == 0:
			return nil, noSuch("maker", name, have)
		case len(found) > 1:
			return nil, fmt.Errorf("%q may be %s; write the maker as the log does", name, strings.Join(found, " or "))
		}
		out = append(out, found[0])
	}
	return out, nil
}
