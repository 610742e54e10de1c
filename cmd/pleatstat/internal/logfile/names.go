package logfile

import (
	"fmt"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
)

// MakersNamed returns the makers that a command line names, spelt as in the log. As
// with parts, case is ignored if that leaves one maker; an exact match comes first.
func MakersNamed(log *dataset.Log, names []string) ([]string, error) {
	have := Makers(log)
	var out []string
	for _, name := range names {
		found := slices.DeleteFunc(slices.Clone(have), func(m string) bool { return !strings.EqualFold(m, name) })
		switch {
		case slices.Contains(have, name):
			found = []string{name}
		case len(found) == 0:
			return nil, usage.NoSuch("maker", name, have)
		case len(found) > 1:
			return nil, fmt.Errorf("%q may be %s; write the maker as the log does", name, strings.Join(found, " or "))
		}
		out = append(out, found[0])
	}
	return out, nil
}
