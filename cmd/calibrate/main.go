// Command calibrate measures the error rates, power and coverage of the tool on
// simulated logs and prints them as tables.
//
//	go run ./cmd/calibrate flags -runs 400 -seed 1
package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
)

// harnesses lists what can be calibrated.
var harnesses = []struct {
	name string
	run  func(args []string, stdout io.Writer) error
}{
	{"flags", runFlags},
	{"drift", runDrift},
	{"price", runPrice},
	{"verdicts", runVerdicts},
	{"mutate", runMutate},
	{"makers", bySize("makers", 150, "60,360,1000", makersTable)},
	{"detectable", bySize("detectable", 200, "360,1000", detectableTable)},
	{"itself", runItself},
	{"places", bySize("places", 80, "60,1000", placesTable)},
	{"records", bySize("records", 80, "60,1000", recordsTable)},
	{"lines", bySize("lines", 80, "60,1000", linesTable)},
}

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "calibrate:", err)
		os.Exit(1)
	}
}

// numbersOf reads whole numbers of at least 1, separated by commas.
func numbersOf(list string) ([]int, error) {
	var out []int
	for _, text := range strings.Split(list, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 1 {
			return nil, fmt.Errorf("%q is no number of 1 or more", text)
		}
		out = append(out, n)
	}
	return out, nil
}

func run(args []string, stdout io.Writer) error {
	var names []string
	for _, h := range harnesses {
		names = append(names, h.name)
	}
	if len(args) == 0 {
		return fmt.Errorf("say what to calibrate: %s", strings.Join(names, ", "))
	}
	at := slices.Index(names, args[0])
	if at < 0 {
		return fmt.Errorf("no harness is called %q; there are: %s", args[0], strings.Join(names, ", "))
	}
	return harnesses[at].run(args[1:], stdout)
}
