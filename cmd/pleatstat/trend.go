package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

type trendOptions struct {
	log           logfile.Options
	chart         charts.Options
	of, on, scale string
	per           string
	json          bool
	plot          string
	seed          uint64
}

func (o *trendOptions) validate() error {
	var errs []error
	if o.of == "" || o.on == "" {
		errs = append(errs, errors.New("a trend needs --of and --on, each a column of numbers"))
	}
	errs = append(errs, pair(plainName(o.of), plainName(o.on), o.scale))
	if o.scale != "" {
		errs = append(errs, usage.OneOf("scale", o.scale, "log", "linear"))
	}
	return errors.Join(append(errs, charts.CheckFile(o.plot), usage.OneOf("per", o.per, "product", "opening"), o.log.Validate(), o.chart.Validate())...)
}

// pair returns an error for two columns to which no line can be fitted.
func pair(of, on, scale string) error {
	var errs []error
	if of != "" && of == on {
		errs = append(errs, fmt.Errorf("--of and --on are both %s; a line needs two columns", of))
	}
	if of == "opened" {
		errs = append(errs, errors.New("opened is a date: a line can lie on it (--on), not be of it"))
	}
	if on == "opened" && scale == "log" {
		errs = append(errs, errors.New("opened is a date and has no logarithm; --scale linear fits a line on it"))
	}
	return errors.Join(errs...)
}

// oldTrendFlags are the earlier names of --of and --on, which are still accepted.
var oldTrendFlags = map[string]pflag.NormalizedName{"response": "of", "predictor": "on"}

func (a *app) trendCommand() *cobra.Command {
	o := trendOptions{per: "product"}
	cmd := &cobra.Command{
		Use:   "trend LOG --of COLUMN --on COLUMN [flags]",
		Short: "One fit of your own choosing, with its plot",
		Long: `trend fits one line of one column of numbers on another, and says what falls
off it: of the can gauge on the can mass, say. A column may be called by any
name that a header may have ("pleatstat columns" lists them), columns of your
own by their header.

On the log scale the slope says what twice the --on column does; both columns
must then be above zero. Left to itself, the scale is the one that the report
uses for the pair, and linear for every other pair.`,
		Example: `  pleatstat trend log.csv --of price --on total_mass --scale log
  pleatstat trend log.csv --of "can wall" --on "can weight" --plot cans.png`,
		Args: usage.OneLog,
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.trend(cmd, args[0], o)
		}),
	}
	f := cmd.Flags()
	f.SetNormalizeFunc(func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		return cmp.Or(oldTrendFlags[name], pflag.NormalizedName(name))
	})
	f.StringVar(&o.of, "of", "", "`COLUMN` that the line is of, on the upright axis (--response means the same)")
	f.StringVar(&o.on, "on", "", "`COLUMN` that it is followed on, on the level axis (--predictor means the same)")
	f.StringVar(&o.scale, "scale", "", "`SCALE` log or linear; else what the report uses for the pair")
	f.StringVar(&o.per, "per", o.per, "fit the line over `POINTS`: product or opening")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.plot, "plot", "", "draw the chart into `FILE` (.png, .svg, .pdf)")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, false)
	o.chart.BindBy(cmd)
	usage.CompleteWords(cmd, "scale", "log", "linear")
	usage.CompleteWords(cmd, "per", "product", "opening")
	logfile.Complete(cmd, a.Console, "of", logfile.Numbers)
	logfile.Complete(cmd, a.Console, "on", logfile.DatesAndNumbers)
	return cmd
}

// columnNamed returns the numeric column that a name means. A name without a meaning is
// returned as it is; one with several is an error.
func columnNamed(log *dataset.Log, flag, name string) (string, error) {
	means := log.ColumnsNamed(name)
	if numbers := slices.DeleteFunc(slices.Clone(means), func(m string) bool { return log.Floats(m) == nil }); len(numbers) > 0 {
		means = numbers
	}
	switch len(means) {
	case 0:
		return name, nil
	case 1:
		return means[0], nil
	}
	last := len(means) - 1
	return "", fmt.Errorf("--%s %q may mean %s or %s; write one of them", flag, name, strings.Join(means[:last], ", "), means[last])
}

func plainName(name string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), " ", "_")
}

func (a *app) trend(cmd *cobra.Command, path string, o trendOptions) error {
	ctx := cmd.Context()
	batch := output.NewBatch("trend", logfile.Inputs(a.Console, path)...)
	if err := batch.AllowAll(o.plot); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	sound, err := a.soundLog(log)
	if err != nil {
		return err
	}
	of, err1 := columnNamed(sound, "of", o.of)
	on, err2 := columnNamed(sound, "on", o.on)
	if err := cmp.Or(errors.Join(err1, err2), pair(of, on, o.scale)); err != nil {
		return usage.Wrong(cmd, err)
	}
	def := trend.Define(of, on, trend.Scale(o.scale))
	found, err := console.Work(ctx, a.Console, "fitting the line", func() (trends.Fitted, error) { return fitOne(sound, def, o) })
	var unknown *trend.UnknownColumnError
	if errors.As(err, &unknown) {
		if name := dataset.NearestColumn(unknown.Name); slices.Contains(unknown.Have, name) {
			return fmt.Errorf("there is no column of numbers %q; did you mean %s?", unknown.Name, name)
		}
		return usage.NoSuch("column of numbers", unknown.Name, unknown.Have)
	}
	if err != nil {
		return err
	}
	if o.plot != "" {
		chart, err := plots.Trend(found.Trend, found.Flags, charts.SourceOf(sound))
		if err != nil {
			return charts.NotDrawn(err)
		}
		if err := errors.Join(charts.Add(batch, o.plot, chart, o.chart), batch.Commit(ctx)); err != nil {
			return err
		}
	}
	if o.json {
		a.printNotices(sound)
		return trends.JSON(a.Out, sound, found)
	}
	text := a.newText(sound, found.Trend.Response, found.Trend.Predictor)
	trends.Report(text, found, log.Units())
	return text.Err()
}

// fitOne fits one trend and finds what lies off it, nothing if the trend shows no
// relation. For a trend of prices it adds the verdict of the price model on each of
// those parts. The trend of price on media area is the price model's own.
func fitOne(sound *dataset.Log, def trend.Definition, o trendOptions) (found trends.Fitted, err error) {
	how := trend.Options{PerOpening: o.per == "opening", Seed: o.seed}
	if def.Response != trend.PriceResponse {
		if found.Trend, err = trend.FitTrend(sound, def, how); err == nil && found.Trend.Related() {
			found.Flags = trend.Flags([]*trend.Trend{found.Trend})
		}
		return found, err
	}
	model, err := price.Fit(sound, price.Options{Seed: o.seed})
	if err != nil {
		return found, err
	}
	found.MoneyOf, found.Usable, found.AsPaid = model.MoneyOf(), model.Products(), def != price.OnArea
	if found.AsPaid {
		found.Trend, err = trend.FitTrend(sound, def, how)
	} else {
		found.Trend, err = model.Trend(how.PerOpening)
	}
	if err != nil || !found.Trend.Related() {
		return found, err
	}
	found.Flags = model.Flags(found.Trend)
	for _, f := range found.Flags {
		j, err := model.Judge(f.Maker, f.Part)
		if err != nil {
			return found, err
		}
		found.Verdicts = append(found.Verdicts, j.Verdict)
	}
	return found, nil
}
