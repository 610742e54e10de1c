package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/config"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/compare"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// mostCompared is the number of products that fit side by side on a screen.
const mostCompared = 5

type compareOptions struct {
	log    logOptions
	chart  chartOptions
	json   bool
	csv    string
	plot   string
	seed   uint64
	claims bool
}

func (o *compareOptions) validate() error {
	errs := []error{o.log.validate(), o.chart.validate()}
	if o.plot != "" {
		_, err := formatOf(o.plot)
		errs = append(errs, err)
	}
	return errors.Join(errs...)
}

func (a *app) compareCommand() *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:   "compare LOG PART PART [PART ...] [flags]",
		Short: "How do these parts differ, and is it more than the bench can measure?",
		Long: `compare sets two to five parts side by side: every measure recorded or
computed, the differences from the first, and which of them are larger than
the bench can repeat. Repeated readings of one thing (0.47; 0.48; 0.48) are
what tells how well the bench repeats. The price verdict of each is added.

A part is named by maker and part number, or as much of them as is clear.`,
		Example: `  pleatstat compare log.csv "Veldmarsh VM2146" "Thornquay T-385"
  pleatstat compare log.csv VM2146 T-385 "W 792" --plot compared.png --csv compared.csv`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) < 3:
				return wrongUsage(cmd, errors.New("compare needs a log and at least two parts"))
			case len(args)-1 > mostCompared:
				return wrongUsage(cmd, fmt.Errorf("compare takes up to %d parts; there are %d", mostCompared, len(args)-1))
			}
			return nil
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return nil, cobra.ShellCompDirectiveDefault // the log: a file
			}
			if found, err := config.Load(a.getenv, os.UserConfigDir); err == nil {
				args = withLog(cmd, args, found)
			}
			return a.fromLog(args, productsOf)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.validate(); err != nil {
				return wrongUsage(cmd, err)
			}
			return a.compare(cmd.Context(), args[0], args[1:], o)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.csv, "csv", "", "write the table into `FILE`")
	f.StringVar(&o.plot, "plot", "", "draw the chart into `FILE` (.png, .svg, .pdf)")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.bind(f)
	o.chart.bind(cmd, false)
	a.completeFrom(cmd, "highlight", productsOf)
	completeWords(cmd, "units", "metric", "us")
	return cmd
}

func (a *app) compare(ctx context.Context, path string, names []string, o compareOptions) error {
	batch := output.NewBatch("compare", a.inputs(path)...)
	if err := allowAll(batch, o.csv, o.plot); err != nil {
		return err
	}
	log, err := a.readLog(ctx, path, o.log)
	if err != nil {
		return err
	}
	if err := o.chart.resolve(log); err != nil {
		return err
	}
	sound := log
	found, err := work(ctx, a, "comparing", func() (_ *compare.Comparison, err error) {
		if sound, err = a.soundLog(log); err != nil {
			return nil, err
		}
		return compareParts(sound, names, price.Options{Seed: o.seed, WithClaims: o.claims})
	})
	if err != nil {
		return err
	}
	if o.csv != "" {
		var table bytes.Buffer
		if err := errors.Join(render.CompareCSV(&table, found, log.Units()), batch.Add(o.csv, table.Bytes())); err != nil {
			return err
		}
	}
	if o.plot != "" {
		chart, err := plots.Compare(compareTable(found, log.Units()), compareSource(found, sound))
		if err != nil {
			return err
		}
		if err := addChart(batch, o.plot, chart, o.chart); err != nil {
			return err
		}
	}
	if err := batch.Commit(ctx); err != nil {
		return err
	}
	if o.json {
		a.tellNotices(sound)
		return render.CompareJSON(a.stdout, sound, found)
	}
	text := a.newText(sound)
	render.ForeignPrices(text, log)
	render.Compare(text, found, log.Units())
	return text.Err()
}

func compareParts(sound *dataset.Log, names []string, o price.Options) (*compare.Comparison, error) {
	var products []price.Product
	var errs []error
	for _, name := range names {
		p, err := price.Resolve(sound, name)
		products, errs = append(products, p), append(errs, err)
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	model, err := price.Fit(sound, o)
	if err != nil {
		return nil, err
	}
	return compare.Parts(sound, products, model, compare.Options{})
}

// firstShown are the measures a chart shows first; it may not have room for
// all.
var firstShown = []string{"price", "media_area", "price_per_area", "pleats", "pleat_depth", "can_gauge", "can_mass", "total_mass", "media_mass", "grammage", "base_plate_mass"}

// compareTable is what the chart shows of a comparison: every measure that at
// least two of the products have.
func compareTable(c *compare.Comparison, u dataset.Units) plots.CompareTable {
	var table plots.CompareTable
	for _, p := range c.Products {
		table.Parts = append(table.Parts, price.Product{Maker: p.Maker, Part: p.Part}.String())
	}
	place := func(m compare.Measure) int {
		if i := slices.Index(firstShown, m.Column); i >= 0 {
			return i
		}
		return len(firstShown)
	}
	measures := slices.Clone(c.Measures)
	slices.SortStableFunc(measures, func(a, b compare.Measure) int { return cmp.Compare(place(a), place(b)) })
	for _, m := range measures {
		row := plots.CompareRow{Name: trend.Words(m.Column)}
		for _, v := range m.Values {
			row.Values = append(row.Values, v.Mean)
			row.Text = append(row.Text, u.Format(m.Column, v.Mean))
		}
		for _, d := range m.Differences {
			row.Beyond = row.Beyond || d.Beyond
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// compareSource counts only the openings compared.
func compareSource(c *compare.Comparison, log *dataset.Log) plots.Source {
	s := plots.Source{File: log.File(), Where: log.Selection().Conditions, Units: log.Units()}
	for _, p := range c.Products {
		s.Openings += p.Openings
	}
	return s
}
