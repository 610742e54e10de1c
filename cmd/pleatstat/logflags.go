package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pleatstat/cmd/pleatstat/internal/config"
	"pleatstat/dataset"
)

// stdinName is the log argument that stands for standard input.
const stdinName = "-"

// logOptions are the flags of every command that reads a log.
type logOptions struct {
	units          string
	mergeSpellings bool
	sheet          string
	rates          []string
}

func (o *logOptions) bind(f *pflag.FlagSet) {
	f.StringVar(&o.units, "units", "", "output in `SYSTEM` metric or us instead of the log's own units")
	f.BoolVar(&o.mergeSpellings, "merge-spellings", false, "take makers and parts spelt two ways for the same")
	f.StringSliceVar(&o.rates, "rate", nil, "take in prices in another currency: `RATES` such as EUR=0.86, one EUR in the log's currency")
	f.StringVar(&o.sheet, "sheet", "", "`NAME` of the sheet in a spreadsheet file, else the first")
}

func (o *logOptions) validate() error {
	_, err := dataset.ParseRates(o.rates)
	if o.units == "" {
		return err
	}
	return errors.Join(err, oneOf("units", o.units, "metric", "us"))
}

func (o *logOptions) options() dataset.Options {
	rates, _ := dataset.ParseRates(o.rates) // validated
	return dataset.Options{Units: o.units, MergeSpellings: o.mergeSpellings, Sheet: o.sheet, Rates: rates}
}

// readLog reads the log named on the command line.
func (a *app) readLog(ctx context.Context, path string, o logOptions) (*dataset.Log, error) {
	if err := a.enoughMemory(path, readNeed); err != nil {
		return nil, err
	}
	return work(ctx, a, "reading the log", func() (*dataset.Log, error) {
		if path == stdinName {
			return dataset.Read(a.stdin, "standard input", o.options())
		}
		log, err := dataset.ReadFile(path, o.options())
		if errors.Is(err, fs.ErrNotExist) {
			err = fmt.Errorf("there is no file %q", path)
		}
		return log, err
	})
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
		if found, err := config.Load(a.getenv, os.UserConfigDir); err == nil {
			args = withLog(cmd, args, found)
		}
		return a.fromLog(args, values)
	})
	if err != nil {
		panic(fmt.Sprintf("flag %s of %s: %v", flag, cmd.Name(), err))
	}
}

// fromLog reads the log named by the first argument and asks it for values;
// where it cannot be read there is nothing to offer.
func (a *app) fromLog(args []string, values func(*dataset.Log) []string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 || args[0] == stdinName {
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
