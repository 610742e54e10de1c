package main

import (
	"errors"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/render"
	"pleatstat/dataset"
)

func (a *app) columnsCommand() *cobra.Command {
	var asCSV, asJSON bool
	cmd := &cobra.Command{
		Use:   "columns [flags]",
		Short: "What a log may hold and how to measure it; a blank log",
		Long: `columns lists the columns a log may have: what each is, its unit, how to
measure it at the bench and which finding needs it. Only maker, part and one
measure are required. With --csv it prints the header of a blank log.`,
		Example: `  pleatstat columns
  pleatstat columns --csv > log.csv`,
		Args: nothing,
		RunE: func(cmd *cobra.Command, _ []string) error {
			switch {
			case asCSV && asJSON:
				return wrongUsage(cmd, errors.New("--csv and --json do not go together; choose one"))
			case asCSV:
				return dataset.WriteBlank(a.stdout)
			case asJSON:
				return render.ColumnsJSON(a.stdout, dataset.Columns(), dataset.DerivedColumns())
			}
			text := render.NewText(a.stdout, a.colour())
			render.Columns(text, dataset.Columns(), dataset.DerivedColumns())
			return text.Err()
		},
	}
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print a blank log")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}
