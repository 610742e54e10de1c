// Package logfile reads the log that a command line names. It holds the flags for
// reading it, its name and files, what the shell can complete from it, the makers
// named on the command line, and the memory it takes.
package logfile

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
)

// Options are the flags of every command that reads a log.
type Options struct {
	units          string
	mergeSpellings bool
	Sheet          string
	unpacked       int // MB
	columns        columns
	rates          []string
	where          []string
}

// Bind adds the flags to a command.
func (o *Options) Bind(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&o.units, "units", "", "output in `SYSTEM` metric or us instead of the log's own units")
	f.BoolVar(&o.mergeSpellings, "merge-spellings", false, "take makers and parts spelt two ways for the same")
	f.StringVar(&o.Sheet, "sheet", "", "read the sheet `NAME` of a workbook (several with commas), else all that hold a log and are not hidden")
	f.IntVar(&o.unpacked, "unpacked", dataset.DefaultUnpacked>>20, "most `MB` a sheet of a workbook may unpack to")
	f.Var(&o.columns, "column", "`NAME=HEADER` reads the header as that column: part='model no'; may be repeated")
	f.StringSliceVar(&o.rates, "rate", nil, "take in prices in another currency: `RATES` such as EUR=0.86, one EUR in the log's currency")
	f.StringArrayVar(&o.where, "where", nil, "only openings that meet a `CONDITION` such as can_od<=80mm or opened>=2022; may be repeated, all must hold")
	usage.CompleteWords(cmd, "units", systems...)
}

// Validate checks the values of the flags.
func (o *Options) Validate() error {
	var errs []error
	if o.units != "" {
		errs = append(errs, usage.OneOf("units", o.units, systems...))
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

// systems lists the systems of units.
var systems = []string{"metric", "us"}

// maxUnpackedMB is the largest value of --unpacked.
const maxUnpackedMB = 1024

// Dataset returns the options for reading the log.
func (o *Options) Dataset() dataset.Options {
	rates, _ := dataset.ParseRates(o.rates) // validated
	return dataset.Options{Units: o.units, MergeSpellings: o.mergeSpellings, Sheet: o.Sheet,
		Unpacked: int64(o.unpacked) << 20, Columns: o.columns.all(), Rates: rates}
}
