package main

import (
	"errors"
	"slices"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

func (a *app) columnsCommand() *cobra.Command {
	var asCSV, asJSON bool
	var like string
	var options logfile.Options
	cmd := &cobra.Command{
		Use:   "columns [flags]",
		Short: "What a log may hold and how to measure it; a blank log",
		Long: `columns lists the columns a log may have: what each is, its unit, how to
measure it at the bench and which finding needs it. Only maker, part and one
measure are required. With --csv it prints the header of a blank log, with
--like the header of a log you have and a row to fill in: its own headers, in
its separator and units. The log itself is never written to.`,
		Example: `  pleatstat columns
  pleatstat columns --csv > new.csv
  pleatstat columns --csv --like log.csv > next.csv`,
		Args: usage.Nothing,
		RunE: func(cmd *cobra.Command, _ []string) error {
			switch {
			case like != "" && (!asCSV || asJSON):
				return usage.Wrong(cmd, errors.New("--like goes with --csv"))
			case like != "":
				log, err := options.Read(cmd.Context(), a.Console, like)
				if err != nil {
					return err
				}
				headers, separator := log.Headers()
				return encode.RowLike(a.Out, headers, separator)
			case asCSV && asJSON:
				return usage.Wrong(cmd, errors.New("--csv and --json do not go together; choose one"))
			case asCSV:
				return dataset.WriteBlank(a.Out)
			case asJSON:
				return logs.ColumnsJSON(a.Out, slices.Collect(catalogue.Recorded()), slices.Collect(catalogue.Derived()))
			}
			text := a.Text()
			logs.Columns(text, slices.Collect(catalogue.Recorded()), slices.Collect(catalogue.Derived()))
			return text.Err()
		},
	}
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print a blank log")
	cmd.Flags().StringVar(&like, "like", "", "with --csv: the header of the log `FILE` and an empty row")
	cmd.Flags().StringVar(&options.Sheet, "sheet", "", "of a workbook given to --like, the sheet `NAME`")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}
