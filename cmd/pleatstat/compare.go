package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/comparison"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/check"
	"pleatstat/stats/compare"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

// mostCompared is the number of products that fit side by side on a screen.
const mostCompared = 5

type compareOptions struct {
	log    logOptions
	chart  chartOptions
	json   bool
	csv    string
	plot   string
	then   yearFlag
	seed   uint64
	claims bool
}

func (o *compareOptions) validate() error {
	errs := []error{o.log.validate(), o.chart.validate()}
	errs = append(errs, chartFile(o.plot))
	return errors.Join(errs...)
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
				return wrongUsage(cmd, errors.New("compare --then needs a log and one part"))
			case len(args) < 3:
				return wrongUsage(cmd, errors.New("compare needs a log and at least two parts, or one part and --then with a year"))
			case len(args)-1 > mostCompared:
				return wrongUsage(cmd, fmt.Errorf("compare takes up to %d parts; there are %d", mostCompared, len(args)-1))
			}
			return nil
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return nil, cobra.ShellCompDirectiveDefault // the log: a file
			}
			return a.fromLog(a.logFirst(cmd, args), func(log *dataset.Log) []string { return slices.Concat(productsOf(log), makersOf(log)) })
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
	f.Var(&o.then, "then", "compare one part with itself, as it was in this `YEAR`")
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
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	sound := log
	found, err := work(ctx, a, "comparing", func() (_ *compare.Comparison, err error) {
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
	if o.csv != "" {
		var table bytes.Buffer
		if err := errors.Join(comparison.CSV(&table, found, log.Units()), batch.Add(o.csv, table.Bytes())); err != nil {
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
		return comparison.JSON(a.stdout, sound, found)
	}
	text := a.newText(sound)
	prices.Foreign(text, log.ForeignPrices(), log.Units())
	comparison.Report(text, found, log.Units())
	return text.Err()
}

// compareAny compares a part then and now, makers where the names are makers',
// else parts; prices are judged by the sound log.
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
	switch makers, err := namedMakers(sound, names); {
	case err == nil:
		return compare.Makers(log, makers, how)
	case slices.ContainsFunc(names, func(name string) bool { return isMaker(sound, name) }) &&
		!slices.ContainsFunc(names, func(name string) bool { return isPart(sound, name) }):
		return nil, err // one maker of several is spelt wrong
	}
	return compareParts(log, sound, names, how)
}

func isMaker(log *dataset.Log, name string) bool {
	_, err := namedMakers(log, []string{name})
	return err == nil
}

func isPart(log *dataset.Log, name string) bool {
	_, err := price.Resolve(log, name)
	return err == nil
}

func compareParts(log, sound *dataset.Log, names []string, how compare.Options) (*compare.Comparison, error) {
	var products []price.Product
	var errs []error
	for _, name := range names {
		p, err := price.Resolve(sound, name)
		products, errs = append(products, p), append(errs, err)
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return compare.Parts(log, products, how.Prices, how)
}

// mostDrawn measures fit on a chart; mainMeasures are drawn before others, by
// group as the text walks through them.
const mostDrawn = 10

var mainMeasures = []string{"price", "price_per_area", "media_area", "pleats", "media_mass", "can_gauge", "can_mass", "base_plate_gauge", "inlet_open_area", "total_mass"}

// compareTable is what the chart shows of a comparison: the main measures of
// each group, and others where there are fewer.
func compareTable(c *compare.Comparison, u dataset.Units) plots.CompareTable {
	table := plots.CompareTable{Between: "openings of one part", More: max(0, len(c.Measures)-mostDrawn)}
	if c.Kind == compare.OfMakers {
		table.Between = "parts of one maker"
	}
	for k, p := range c.Products {
		name := strings.TrimSpace(price.Product{Maker: p.Maker, Part: p.Part}.String())
		switch {
		case p.When != "" && k > 0: // of the same part
			name = "in " + p.When
		case p.When != "":
			name += " in " + p.When
		}
		table.Parts = append(table.Parts, name)
	}
	place := func(m compare.Measure) int {
		if i := slices.Index(mainMeasures, m.Column); i >= 0 {
			return i
		}
		return len(mainMeasures)
	}
	group := func(m compare.Measure) int { return slices.Index(compare.Groups(), m.Group) }
	measures := slices.Clone(c.Measures)
	slices.SortStableFunc(measures, func(a, b compare.Measure) int { return cmp.Compare(place(a), place(b)) })
	measures = measures[:min(len(measures), mostDrawn)]
	slices.SortStableFunc(measures, func(a, b compare.Measure) int { return cmp.Compare(group(a), group(b)) })
	for _, m := range measures {
		row := plots.CompareRow{Name: dataset.Words(m.Column), Group: string(m.Group)}
		for _, v := range m.Values {
			row.Values = append(row.Values, v.Mean)
			text := u.Format(m.Column, v.Mean)
			if money, per, long := strings.Cut(text, " per "); long { // said once, in the name
				text, row.Name = money, "price per "+per
			}
			row.Text = append(row.Text, text)
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
