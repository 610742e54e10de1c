package main

import (
	"context"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/render/findings"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/stats/coverage"
	"pleatstat/stats/report"
)

type startOptions struct {
	log  logfile.Options
	json bool
}

func (a *app) startCommand() *cobra.Command {
	var o startOptions
	cmd := &cobra.Command{
		Use:   "start LOG [flags]",
		Short: "What is in my log, and what can it answer? The first command for a log of your own",
		Long: `start reads a log for the first time and says on one page which header was
read as which column, in which unit and how full it is, what the log can
answer already, what one column more would let it answer, and the first
finding. Where a header was not understood, --column names it.`,
		Example: `  pleatstat start log.csv
  pleatstat start log.csv --json`,
		Args: usage.OneLog,
		RunE: usage.Checked(o.log.Validate, func(cmd *cobra.Command, args []string) error {
			return a.start(cmd.Context(), args[0], o)
		}),
	}
	cmd.Flags().BoolVar(&o.json, "json", false, "print JSON")
	o.log.Bind(cmd)
	return cmd
}

func (a *app) start(ctx context.Context, path string, o startOptions) error {
	if err := logfile.CheckMemory(a.Console, path); err != nil {
		return err
	}
	log, err := o.log.Read(ctx, a.Console, path)
	if err != nil {
		return err
	}
	found, err := console.Work(ctx, a.Console, "fitting the trends", func() (*report.Findings, error) {
		return report.Build(ctx, log, report.Options{})
	})
	if err != nil {
		return err
	}
	covered := coverage.Of(log, found)
	if o.json {
		return findings.StartJSON(a.Out, covered, found)
	}
	text := a.Text()
	findings.Start(text, covered, found)
	return text.Err()
}
