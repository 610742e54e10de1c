package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/correct"
	"pleatstat/stats/slip"
)

type checkOptions struct {
	log    logfile.Options
	json   bool
	csv    string
	fixed  string
	accept []string
	strict bool
}

func (o *checkOptions) validate() error {
	errs := []error{o.log.Validate()}
	for _, kind := range o.accept {
		errs = append(errs, usage.OneOf("accept", kind, kindNames()...))
	}
	if len(o.accept) > 0 && o.fixed == "" {
		errs = append(errs, errors.New("--accept goes with --fixed, the copy to write"))
	}
	return errors.Join(errs...)
}

func kindNames() []string {
	var names []string
	for _, k := range slip.Kinds() {
		names = append(names, string(k))
	}
	return names
}

func (o *checkOptions) kinds() []slip.Kind {
	var kinds []slip.Kind
	for _, k := range o.accept {
		kinds = append(kinds, slip.Kind(k))
	}
	return kinds
}

func (a *app) checkCommand() *cobra.Command {
	var o checkOptions
	cmd := &cobra.Command{
		Use:   "check LOG [flags]",
		Short: "Is the log sound? Slips of the pen and of the calipers, cell by cell",
		Long: `check reads the log and says which cells cannot be used, which look like a
slip (a wrong unit, a lost decimal point, two cells swapped) and what was
probably meant, which makers or parts are spelt two ways, and how well the
bench's readings repeat. It never changes the log; --fixed writes a copy in
which the suggestions it is sure of are carried out, and lists each change.

It exits with 3 where a reading cannot be used or is doubtful; with --strict
also where there are only notes.`,
		Example: `  pleatstat check log.csv
  pleatstat check log.csv --csv suggestions.csv
  pleatstat check log.csv --fixed better.csv --accept unit,decimal
  pleatstat check log.csv --json --strict`,
		Args: usage.OneLog,
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.check(cmd.Context(), args[0], o)
		}),
	}
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.csv, "csv", "", "write the suggestions as a table into `FILE`")
	f.StringVar(&o.fixed, "fixed", "", "write a copy with the sure suggestions carried out into `FILE`")
	f.StringSliceVar(&o.accept, "accept", nil, "carry out only these `KINDS`: "+strings.Join(kindNames(), ", "))
	f.BoolVar(&o.strict, "strict", false, "exit with 3 also where there are only notes")
	o.log.Bind(cmd)
	usage.CompleteWords(cmd, "accept", kindNames()...)
	return cmd
}

func (a *app) check(ctx context.Context, path string, o checkOptions) error {
	batch := output.NewBatch("check", logfile.Inputs(a.Console, path)...)
	if err := batch.AllowAll(o.csv, o.fixed); err != nil {
		return err
	}
	var original *bytes.Buffer // for the copy
	if o.fixed != "" {
		original = new(bytes.Buffer)
	}
	log, err := o.log.ReadAndCopy(ctx, a.Console, path, original)
	if err != nil {
		return err
	}
	result, err := console.Work(ctx, a.Console, "checking the log", func() (*check.Result, error) { return check.Run(log, check.Options{Today: a.today}) })
	if err != nil {
		return err
	}
	if err := batch.AddWritten(o.csv, func(w io.Writer) error { return logs.SuggestionsCSV(w, result.Suggestions) }); err != nil {
		return err
	}
	sound := log.SetAside(result.SetAside)
	checked := logs.Checked{File: log.File(), Rows: log.Rows(), Columns: log.ColumnsRead(), Units: log.Units(), Notices: sound.Notices(),
		Result: result, LineOf: log.Line, Repeats: repeatsOf(sound)}
	checked.Copy = o.fixed
	if err := batch.AddWritten(o.fixed, func(w io.Writer) (err error) {
		checked.Fixed, err = correct.Copy(original, w, result.Suggestions, o.kinds())
		return err
	}); err != nil {
		return err
	}
	if err := batch.Commit(ctx); err != nil {
		return err
	}
	if err := a.printCheck(checked, o.json); err != nil {
		return err
	}
	if o.strict && len(result.Problems) > 0 {
		return &logError{fmt.Sprintf("the log has %d problems or notes", len(result.Problems))}
	}
	return logErrors(result.Problems)
}

func (a *app) printCheck(checked logs.Checked, asJSON bool) error {
	if asJSON {
		return logs.CheckJSON(a.Out, checked)
	}
	text := a.Text()
	logs.Check(text, checked)
	return text.Err()
}

// repeatsOf returns how well the readings of each column repeat, for the columns with
// repeated readings.
func repeatsOf(log *dataset.Log) []logs.Repeat {
	var out []logs.Repeat
	for _, name := range log.Names() {
		if r := log.Repeatability(name); r.DF > 0 {
			out = append(out, logs.Repeat{Column: name, Repeatability: r})
		}
	}
	return out
}
