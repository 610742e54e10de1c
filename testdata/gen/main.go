// Command gen writes an invented log of oil filter openings of which the truth is
// known.
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
	"os"

	"pleatstat/cmd/calibrate/sim"
)

// manyRows is the number of rows above which a log has only the main columns by
// default, since logs pooled from several workshops have fewer columns in common.
const manyRows = 10_000

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "gen:", err)
		os.Exit(1)
	}
}

func run(args []string, stdout, stderr io.Writer) error {
	var o sim.WorkshopOptions
	flags := flag.NewFlagSet("gen", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.IntVar(&o.Rows, "rows", sim.DemoRows, "openings")
	flags.IntVar(&o.Parts, "parts", sim.DemoParts, "different parts")
	flags.Uint64Var(&o.Seed, "seed", sim.DemoSeed, "seed of the generator")
	out := flags.String("out", "", "file to write (default standard output)")
	truthFile := flags.String("truth", "", "file to write the planted truths to, as JSON")
	columns := flags.String("columns", "", `"all" or "main" (default all up to 10,000 rows, main above)`)
	flags.BoolVar(&o.Clean, "clean", false, "plant nothing: no odd price, no drift, no entry error")
	if err := flags.Parse(args); err != nil {
		return err
	}
	switch *columns {
	case "":
		o.MainColumns = o.Rows > manyRows
	case "all", "main":
		o.MainColumns = *columns == "main"
	default:
		return fmt.Errorf("-columns %q is neither all nor main", *columns)
	}
	if o.Rows < 1 || o.Parts < 1 || o.Parts > o.Rows {
		return fmt.Errorf("need at least one row a part: have %d rows and %d parts", o.Rows, o.Parts)
	}
	dst := stdout
	if *out != "" {
		f, err := os.Create(*out)
		if err != nil {
			return err
		}
		defer f.Close()
		dst = f
	}
	buffered := bufio.NewWriterSize(dst, 1<<20)
	truth, err := sim.Workshop(buffered, o)
	if err != nil {
		return err
	}
	if err := buffered.Flush(); err != nil || *truthFile == "" {
		return err
	}
	text, err := truth.JSON()
	if err != nil {
		return err
	}
	return os.WriteFile(*truthFile, text, 0o644)
}
