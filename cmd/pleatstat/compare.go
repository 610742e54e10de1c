package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/comparison"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/compare"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// mostCompared is the number of products that fit side by side on a screen.
const mostCompared = 5

type compareOptions struct {
	log    logfile.Options
	chart  charts.Options
	json   bool
	csv    string
	plot   string
	then   usage.Year
	seed   uint64
	claims bool
}

func (o *compareOptions) validate() error {
	return errors.Join(o.log.Validate(), o.chart.Validate(), charts.CheckFile(o.plot))
}

func (a *app) compareCommand() *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:   "compare LOG PART PART [PART ...] [flags]",
		Short: "How do these parts, or makers, differ, and is it more than two of one part do?",
		Long: `compare walks through two to five parts side by side: price, media, can, base
plate and inlet, valves and the rest. A difference counts where it is larger
than openings of one part differ by, over the whole log. Where too few parts
were opened again, readings of one thing taken twice (0.47; 0.48; 0.48) tell
what the bench repeats, and else the step of the instrument decides. What a
maker changed counts: only the openings since then tell of the part as it is
today. Readings that check doubts are left out.

Two to five makers can be compared as well, and with --then one part with
itself. A part is named by maker and part number, or as much of them as is
clear.`,
		Example: `  pleatstat compare log.csv "Veldmarsh VM2146" "Thornquay T-385"
  pleatstat compare log.csv VM2146 T-385 "W 792" --plot compared.png --csv compared.csv
  pleatstat compare log.csv Lowmere Skerrow
  pleatstat compare log.csv "Lowmere L4135" --then 2021`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case cmd.Flags().Changed("then") && len(args) == 2:
			case cmd.Flags().Changed("then"):
				return usage.Wrong(cmd, errors.New("compare --then needs a log and one part"))
			case len(args) < 3:
				return usage.Wrong(cmd, errors.New("compare needs a log and at least two parts, or one part and --then with a year"))
			case len(args)-1 > mostCompared:
				return usage.Wrong(cmd, fmt.Errorf("compare takes up to %d parts; there are %d", mostCompared, len(args)-1))
			}
			return nil
		},
		ValidArgsFunction: logfile.CompleteNames(a.Console, mostCompared, func(log *dataset.Log) []string {
			return append(logfile.Products(log), logfile.Makers(log)...)
		}),
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.compare(cmd.Context(), args[0], args[1:], o)
		}),
	}
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.csv, "csv", "", "write the table into `FILE`")
	f.StringVar(&o.plot, "plot", "", "draw the chart into `FILE` (.png, .svg, .pdf)")
	f.Var(&o.then, "then", "compare one part with itself, as it was in this `YEAR`")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, false)
	return cmd
}

func (a *app) compare(ctx context.Context, path string, names []string, o compareOptions) error {
	batch := output.NewBatch("compare", logfile.Inputs(a.Console, path)...)
	if err := batch.AllowAll(o.csv, o.plot); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	sound := log
	found, err := console.Work(ctx, a.Console, "comparing", func() (_ *compare.Comparison, err error) {
		checked, err := check.Run(log, check.Options{Today: a.today})
		if err != nil {
			return nil, fmt.Errorf("checking the log: %w", err)
		}
		sound = log.SetAside(checked.SetAside)
		changes, err := drift.Analyse(sound, drift.Options{Seed: o.seed})
		if err != nil {
			return nil, err
		}
		doubted := slices.DeleteFunc(checked.Doubted, func(cell dataset.CellRef) bool { return slices.Contains(checked.SetAside, cell) })
		return compareAny(log, sound, names, o, compare.Options{Doubted: slices.Concat(checked.SetAside, doubted), Changes: append([]drift.Entry{}, changes...)})
	})
	if err != nil {
		return err
	}
	if err := batch.AddWritten(o.csv, func(w io.Writer) error { return comparison.CSV(w, found, log.Units()) }); err != nil {
		return err
	}
	if o.plot != "" {
		chart, err := charts.Compare(found, sound)
		if err != nil {
			return err
		}
		if err := charts.Add(batch, o.plot, chart, o.chart); err != nil {
			return err
		}
	}
	if err := batch.Commit(ctx); err != nil {
		return err
	}
	if o.json {
		a.printNotices(sound)
		return comparison.JSON(a.Out, sound, found)
	}
	text := a.newText(sound)
	prices.Foreign(text, log.ForeignPrices(), log.Units())
	comparison.Report(text, found, log.Units())
	return text.Err()
}

// compareAny compares one part then and now (--then), makers if all names are makers,
// and otherwise parts. Prices are judged on the sound log.
func compareAny(log, sound *dataset.Log, names []string, o compareOptions, how compare.Options) (_ *compare.Comparison, err error) {
	if how.Prices, err = price.Fit(sound, price.Options{Seed: o.seed, WithClaims: o.claims}); err != nil {
		return nil, err
	}
	if o.then != 0 {
		p, err := price.Resolve(sound, names[0])
		if err != nil {
			return nil, err
		}
		return compare.ThenAndNow(log, p, int(o.then), how)
	}
	makers, noMakers := logfile.MakersNamed(sound, names)
	if noMakers == nil {
		return compare.Makers(log, makers, how)
	}
	var products []price.Product
	var errs []error // one for each name that is no part
	anyMaker := false
	for _, name := range names {
		p, noPart := price.Resolve(sound, name)
		if noPart == nil {
			products = append(products, p)
		} else {
			errs = append(errs, noPart)
		}
		_, noMaker := logfile.MakersNamed(sound, []string{name})
		anyMaker = anyMaker || noMaker == nil
	}
	switch {
	case len(errs) == 0:
		return compare.Parts(log, products, how.Prices, how)
	case anyMaker && len(products) == 0:
		return nil, noMakers // one maker of several is spelt wrong
	}
	return nil, errors.Join(errs...)
}
