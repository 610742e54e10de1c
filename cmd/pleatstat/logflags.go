package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"regexp"
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pleatstat/cmd/pleatstat/internal/config"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
)

// stdinName is the log argument that stands for standard input.
const stdinName = "-"

// logOptions are the flags of every command that reads a log.
type logOptions struct {
	units          string
	mergeSpellings bool
	sheet          string
	unpacked       int // MB
	columns        columnFlag
	rates          []string
	where          []string
}

func (o *logOptions) bind(f *pflag.FlagSet) {
	f.StringVar(&o.units, "units", "", "output in `SYSTEM` metric or us instead of the log's own units")
	f.BoolVar(&o.mergeSpellings, "merge-spellings", false, "take makers and parts spelt two ways for the same")
	f.StringVar(&o.sheet, "sheet", "", "read the sheet `NAME` of a workbook (several with commas), else all that hold a log and are not hidden")
	f.IntVar(&o.unpacked, "unpacked", dataset.DefaultUnpacked>>20, "most `MB` a sheet of a workbook may unpack to")
	f.Var(&o.columns, "column", "`NAME=HEADER` reads the header as that column: part='model no'; may be repeated")
	f.StringSliceVar(&o.rates, "rate", nil, "take in prices in another currency: `RATES` such as EUR=0.86, one EUR in the log's currency")
	f.StringArrayVar(&o.where, "where", nil, "only openings that meet a `CONDITION` such as can_od<=80mm or opened>=2022; may be repeated, all must hold")
}

func (o *logOptions) validate() error {
	var errs []error
	if o.units != "" {
		errs = append(errs, oneOf("units", o.units, "metric", "us"))
	}
	if o.unpacked < 1 || o.unpacked > maxUnpackedMB {
		errs = append(errs, fmt.Errorf("--unpacked %d: a number of MB from 1 to %d", o.unpacked, maxUnpackedMB))
	}
	for _, condition := range o.where {
		_, _, _, err := dataset.ParseCondition(condition)
		errs = append(errs, whereError(err))
	}
	_, err := dataset.ParseRates(o.rates)
	return errors.Join(append(errs, err)...)
}

// maxUnpackedMB is as much text as a log may have.
const maxUnpackedMB = 1024

func (o *logOptions) options() dataset.Options {
	rates, _ := dataset.ParseRates(o.rates) // validated
	return dataset.Options{Units: o.units, MergeSpellings: o.mergeSpellings, Sheet: o.sheet,
		Unpacked: int64(o.unpacked) << 20, Columns: o.columns.choices(), Rates: rates}
}

// readLog reads the log named on the command line.
func (a *app) readLog(ctx context.Context, path string, o logOptions) (*dataset.Log, error) {
	return a.readLogOnce(ctx, path, o, nil)
}

// readCharted reads the log of a command that draws, and finds the part that its
// charts ring.
func (a *app) readCharted(ctx context.Context, path string, o logOptions, chart *chartOptions) (*dataset.Log, error) {
	log, err := a.readLog(ctx, path, o)
	if err != nil {
		return nil, err
	}
	return log, chart.resolve(log)
}

// readLogOnce reads the log and keeps its bytes in original, where that is not
// nil: what comes through a pipe cannot be read again.
func (a *app) readLogOnce(ctx context.Context, path string, o logOptions, original *bytes.Buffer) (*dataset.Log, error) {
	if err := a.enoughMemory(path, readNeed); err != nil {
		return nil, err
	}
	log, err := work(ctx, a, "reading the log", func() (*dataset.Log, error) {
		var from io.Reader = a.stdin
		name := "standard input"
		switch {
		case path == stdinName:
		case original == nil && nameOf(path) == path:
			log, err := dataset.ReadFile(path, o.options())
			return log, noFile(path, err)
		default:
			f, err := os.Open(path)
			if err != nil {
				return nil, noFile(path, err)
			}
			defer f.Close()
			from, name = f, nameOf(path)
		}
		if original != nil {
			from = io.TeeReader(from, original)
		}
		return dataset.Read(from, name, o.options())
	})
	if err != nil {
		return nil, err
	}
	log, err = log.Where(o.where...)
	return log, whereError(err)
}

// whereError names the flag that a condition came from.
func whereError(err error) error {
	var bad *dataset.ConditionError
	if errors.As(err, &bad) {
		return fmt.Errorf("--where %q: %s", bad.Condition, bad.Reason)
	}
	return err
}

// openFile matches the names under which a system shows an open file: what stands
// behind "<(…)" of a shell.
var openFile = regexp.MustCompile(`^/(?:dev|proc/(?:self|\d+))/fd/(\d+)$`)

// nameOf is the name a log is called by: its path, but for one that only numbers
// an open file.
func nameOf(path string) string {
	m := openFile.FindStringSubmatch(path)
	switch {
	case path == "/dev/stdin", m != nil && m[1] == "0":
		return "standard input"
	case m != nil:
		return "a pipe"
	}
	return path
}

// noFile says in plain words that a file is not there.
func noFile(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no file %q", path)
	}
	return err
}

// newText is a writer of a run's text, which begins with the columns read and
// what has to be known of the log; used are columns of the log's own that the run
// is about.
func (a *app) newText(log *dataset.Log, used ...string) *wording.Text {
	text := a.textOfColumns(log, used...)
	text.Notices(log.Notices())
	return text
}

// textOfColumns begins with the columns read only.
func (a *app) textOfColumns(log *dataset.Log, used ...string) *wording.Text {
	text := wording.NewText(a.stdout, a.colour())
	logs.ColumnsRead(text, log.ColumnsRead().Using(used...))
	return text
}

// inputs identifies the files a command reads, so that none is written over.
func (a *app) inputs(path string) []os.FileInfo {
	if path != stdinName {
		if info, err := os.Stat(path); err == nil {
			return []os.FileInfo{info}
		}
		return nil
	}
	if f, ok := a.stdin.(*os.File); ok {
		if info, err := f.Stat(); err == nil {
			return []os.FileInfo{info}
		}
	}
	return nil
}

// completeWords are the fixed values of a flag, for shell completion.
func completeWords(cmd *cobra.Command, flag string, words ...string) {
	err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
	if err != nil {
		panic(fmt.Sprintf("flag %s of %s: %v", flag, cmd.Name(), err)) // a flag that is not there: a mistake in this program
	}
}

// completeFrom completes a flag from the log given as first argument or, without
// one, from that of the settings.
func (a *app) completeFrom(cmd *cobra.Command, flag string, values func(*dataset.Log) []string) {
	err := cmd.RegisterFlagCompletionFunc(flag, func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.fromLog(a.logFirst(cmd, args), values)
	})
	if err != nil {
		panic(fmt.Sprintf("flag %s of %s: %v", flag, cmd.Name(), err))
	}
}

// logFirst puts the log that the settings name before the arguments typed so far,
// as a run does.
func (a *app) logFirst(cmd *cobra.Command, args []string) []string {
	found, err := config.Load(a.getenv, os.UserConfigDir)
	if err != nil {
		return args
	}
	return withLog(cmd, args, found)
}

// fromLog reads the log named by the first argument and asks it for values;
// where it cannot be read there is nothing to offer.
func (a *app) fromLog(args []string, values func(*dataset.Log) []string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 || args[0] == stdinName {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	if info, err := os.Stat(args[0]); err != nil || !info.Mode().IsRegular() { // reading a pipe would empty it
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	log, err := dataset.ReadFile(args[0], dataset.Options{})
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return values(log), cobra.ShellCompDirectiveNoFileComp
}

// makersOf lists the makers of a log in order of first appearance.
func makersOf(log *dataset.Log) []string { return distinct(log.Strings("maker")) }

// productsOf lists "Maker Part" in order of first appearance.
func productsOf(log *dataset.Log) []string {
	parts := log.Strings("part")
	names := log.Strings("maker")
	for i := range names {
		names[i] += " " + parts[i]
	}
	return distinct(names)
}

// numbersOf lists the log's columns of numbers, recorded and derived.
func numbersOf(log *dataset.Log) []string {
	return slices.DeleteFunc(log.Names(), func(name string) bool {
		return name == "opened" || log.Floats(name) == nil
	})
}

// datesAndNumbersOf lists what a line may be on.
func datesAndNumbersOf(log *dataset.Log) []string { return append(numbersOf(log), "opened") }

func distinct(all []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range all {
		if s != "" && !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}
