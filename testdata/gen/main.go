// Command gen writes an invented log of oil filter openings with known truths
// planted in it.
//
// Without flags it writes the demo log of testdata/demo:
//
//	go run ./testdata/gen -out testdata/demo/harbour.csv -truth testdata/demo/truth.json
//
// With -rows and -parts it writes logs of any size with numbered makers, for
// benchmarks and simulations. The same flags always give the same bytes.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
)

const (
	demoRows  = 260
	demoParts = 60
	demoSeed  = 25

	// manyRows is the size above which a log has only the main columns unless
	// -columns says otherwise: pooled logs are narrower than one bench's own.
	manyRows = 10_000
)

type options struct {
	rows, parts int
	seed        uint64
	out, truth  string
	columns     string
	clean       bool
}

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "gen:", err)
		os.Exit(1)
	}
}

func run(args []string, stdout, stderr io.Writer) error {
	var o options
	flags := flag.NewFlagSet("gen", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.IntVar(&o.rows, "rows", demoRows, "openings")
	flags.IntVar(&o.parts, "parts", demoParts, "different parts")
	flags.Uint64Var(&o.seed, "seed", demoSeed, "seed of the generator")
	flags.StringVar(&o.out, "out", "", "file to write (default standard output)")
	flags.StringVar(&o.truth, "truth", "", "file to write the planted truths to, as JSON")
	flags.StringVar(&o.columns, "columns", "", `"all" or "main" (default all up to 10,000 rows, main above)`)
	flags.BoolVar(&o.clean, "clean", false, "plant nothing: no odd price, no drift, no slip")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if o.columns == "" {
		o.columns = "all"
		if o.rows > manyRows {
			o.columns = "main"
		}
	}
	if o.rows < 1 || o.parts < 1 || o.parts > o.rows {
		return fmt.Errorf("need at least one row a part: have %d rows and %d parts", o.rows, o.parts)
	}
	if o.columns != "all" && o.columns != "main" {
		return fmt.Errorf("-columns %q is neither all nor main", o.columns)
	}

	r := rand.New(rand.NewPCG(o.seed, 0x686172626f7572))
	w := demoWorld(r)
	if o.rows != demoRows || o.parts != demoParts {
		w = numberedWorld(r, o.parts)
	}
	if o.clean {
		w.plantNothing()
	}
	w.schedule(r, o.rows)

	file, err := writeLog(r, w, o, stdout)
	if err != nil {
		return err
	}
	if o.truth == "" {
		return nil
	}
	return writeTruth(o.truth, w, file)
}

// writeLog writes the log and returns the slips planted in it.
func writeLog(r *rand.Rand, w *world, o options, stdout io.Writer) ([]slip, error) {
	dst := stdout
	if o.out != "" {
		f, err := os.Create(o.out)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		dst = f
	}
	buffered := bufio.NewWriterSize(dst, 1<<20)
	slips, err := w.write(r, buffered, o)
	if err != nil {
		return nil, err
	}
	return slips, buffered.Flush()
}
