package main

import (
	"context"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/render/findings"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/coverage"
	"pleatstat/stats/report"
)

type startOptions struct {
	log  logOptions
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
		Args: oneLog,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.log.validate(); err != nil {
				return wrongUsage(cmd, err)
			}
			return a.start(cmd.Context(), args[0], o)
		},
	}
	cmd.Flags().BoolVar(&o.json, "json", false, "print JSON")
	o.log.bind(cmd.Flags())
	completeWords(cmd, "units", "metric", "us")
	return cmd
}

func (a *app) start(ctx context.Context, path string, o startOptions) error {
	if err := a.enoughMemory(path, reportNeed); err != nil {
		return err
	}
	log, err := a.readLog(ctx, path, o.log)
	if err != nil {
		return err
	}
	found, err := work(ctx, a, "fitting the trends", func() (*report.Findings, error) {
		return report.Build(ctx, log, report.Options{})
	})
	if err != nil {
		return err
	}
	covered := coverage.Of(log, found)
	if o.json {
		return findings.StartJSON(a.stdout, covered, found)
	}
	text := wording.NewText(a.stdout, a.colour())
	findings.Start(text, covered, found)
	return text.Err()
}
