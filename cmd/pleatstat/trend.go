package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/trend"
)

type trendOptions struct {
	log                        logOptions
	chart                      chartOptions
	response, predictor, scale string
	per                        string
	json                       bool
	plot                       string
	seed                       uint64
}

func (o *trendOptions) validate() error {
	var errs []error
	if o.response == "" || o.predictor == "" {
		errs = append(errs, errors.New("a trend needs --response and --predictor, each a column of numbers"))
	}
	if o.response != "" && plainName(o.response) == plainName(o.predictor) {
		errs = append(errs, fmt.Errorf("--response and --predictor are both %s; a line needs two columns", o.response))
	}
	if plainName(o.response) == "opened" {
		errs = append(errs, errors.New("opened is a date: it can be the predictor of a line, not its response"))
	}
	if plainName(o.predictor) == "opened" && o.scale == "log" {
		errs = append(errs, errors.New("opened is a date and has no logarithm; --scale linear fits a line on it"))
	}
	if o.scale != "" {
		errs = append(errs, oneOf("scale", o.scale, "log", "linear"))
	}
	if o.plot != "" {
		_, err := formatOf(o.plot)
		errs = append(errs, err)
	}
	return errors.Join(append(errs, oneOf("per", o.per, "product", "opening"), o.log.validate(), o.chart.validate())...)
}

func (a *app) trendCommand() *cobra.Command {
	o := trendOptions{per: "product"}
	cmd := &cobra.Command{
		Use:   "trend LOG --response COLUMN --predictor COLUMN [flags]",
		Short: "One fit of your own choosing, with its plot",
		Long: `trend fits one line between two columns of numbers, recorded ones, derived
ones ("pleatstat columns" lists both) or columns of your own by their header,
and says what falls off it.

On the log scale the slope says what twice the predictor does; both columns
must then be above zero. Left to itself, the scale is the one that the report
uses for the pair, and linear for every other pair.`,
		Example: `  pleatstat trend log.csv --response price --predictor total_mass --scale log
  pleatstat trend log.csv --response grammage --predictor media_thickness --plot grammage.png`,
		Args: oneLog,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.validate(); err != nil {
				return wrongUsage(cmd, err)
			}
			return a.trend(cmd.Context(), args[0], o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.response, "response", "", "`COLUMN` on the upright axis")
	f.StringVar(&o.predictor, "predictor", "", "`COLUMN` on the level axis")
	f.StringVar(&o.scale, "scale", "", "`SCALE` log or linear; else what the report uses for the pair")
	f.StringVar(&o.per, "per", o.per, "fit the line over `POINTS`: product or opening")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.plot, "plot", "", "draw the chart into `FILE` (.png, .svg, .pdf)")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.bind(f)
	o.chart.bind(cmd, false)
	o.chart.bindBy(cmd)
	a.completeFrom(cmd, "highlight", productsOf)
	completeWords(cmd, "scale", "log", "linear")
	completeWords(cmd, "per", "product", "opening")
	completeWords(cmd, "units", "metric", "us")
	a.completeFrom(cmd, "response", numbersOf)
	a.completeFrom(cmd, "predictor", numbersOf)
	return cmd
}

// columnNamed is the column of a log that a name means: case and blanks for
// underscores do not count where there is none of the very name.
func columnNamed(log *dataset.Log, name string) string {
	names, plain := log.Names(), plainName(name)
	if !slices.Contains(names, name) && slices.Contains(names, plain) {
		return plain
	}
	return name
}

func plainName(name string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), " ", "_")
}

func (a *app) trend(ctx context.Context, path string, o trendOptions) error {
	batch := output.NewBatch("trend", a.inputs(path)...)
	if err := allowAll(batch, o.plot); err != nil {
		return err
	}
	log, err := a.readLog(ctx, path, o.log)
	if err != nil {
		return err
	}
	if err := o.chart.resolve(log); err != nil {
		return err
	}
	sound, err := a.soundLog(log)
	if err != nil {
		return err
	}
	def := trend.Define(columnNamed(sound, o.response), columnNamed(sound, o.predictor), trend.Scale(o.scale))
	fitted, err := work(ctx, a, "fitting the line", func() (*trend.Trend, error) {
		return trend.FitTrend(sound, def, trend.Options{PerOpening: o.per == "opening", Seed: o.seed})
	})
	var unknown *trend.UnknownColumnError
	if errors.As(err, &unknown) {
		return noSuch("column of numbers", unknown.Name, unknown.Have)
	}
	if err != nil {
		return err
	}
	flags := trend.Flags([]*trend.Trend{fitted})
	if o.plot != "" {
		chart, err := plots.Trend(fitted, flags, sourceOf(sound))
		if err != nil {
			return noChart(err)
		}
		if err := errors.Join(addChart(batch, o.plot, chart, o.chart), batch.Commit(ctx)); err != nil {
			return err
		}
	}
	if o.json {
		a.tellNotices(sound)
		return render.TrendJSON(a.stdout, sound, fitted, flags)
	}
	text := a.newText(sound, fitted.Response, fitted.Predictor)
	render.Trend(text, fitted, flags, log.Units())
	return text.Err()
}
