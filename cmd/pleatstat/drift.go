package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// driftNames matches the names of the charts that drift draws into a folder.
var driftNames = regexp.MustCompile(`^drift-[a-z_]+\.(png|svg|pdf)$`)

type driftOptions struct {
	log      logfile.Options
	chart    charts.Options
	makers   []string
	measures []string
	since    string
	json     bool
	detail   bool
	csv      string
	plot     string
	out      string
	seed     uint64
}

func (o *driftOptions) validate() error {
	_, err := parseSince(o.since)
	errs := []error{o.log.Validate(), o.chart.Validate(), err}
	for i, m := range o.measures {
		if o.measures[i] = measureNamed(m); !slices.Contains(drift.Measures(), o.measures[i]) {
			errs = append(errs, usage.NoSuch("measure to follow", m, drift.Measures()))
		}
	}
	return errors.Join(append(errs, charts.CheckFile(o.plot))...)
}

// measureNamed returns the measure that a name means: its own name, or one that a
// header may have. Any other name is returned as it is.
func measureNamed(name string) string {
	if plain := plainName(name); slices.Contains(drift.Measures(), plain) {
		return plain
	}
	if columns, _ := dataset.ColumnsNamed(name); len(columns) == 1 {
		return columns[0]
	}
	return name
}

// parseSince reads a date of any precision; "" is the zero time.
func parseSince(s string) (time.Time, error) {
	if s == "" {
		return time.Time{}, nil
	}
	for _, layout := range []string{time.DateOnly, "2006-01", "2006"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("--since %q: want a date such as 2024-03-08, 2024-03 or 2024", s)
}

func (a *app) driftCommand() *cobra.Command {
	var o driftOptions
	cmd := &cobra.Command{
		Use:   "drift LOG [flags]",
		Short: "Who changed over the years: thinner cans, fewer pleats, higher prices",
		Long: `drift follows each maker over the years, measure by measure. The evidence is
the same part opened again later; parts opened only once are a second,
weaker line. All that is tested is corrected together, and a change below
what the bench can repeat is never announced. A step is told as a step, a
slope as a slope, with one part's own readings then and now; --detail adds
every test and which yearly change it would have found.

Whoever runs it every week looks again and again at nearly the same data:
each look is one more chance of a false verdict. --since judges only what was
opened since a date.

Measures it follows: can_gauge, can_mass, can_mass_per_area, pleats,
media_area, media_length, grammage, element_mass, base_plate_mass, total_mass,
price and price_per_area.`,
		Example: `  pleatstat drift log.csv
  pleatstat drift log.csv --maker Veldmarsh --measure can_gauge --plot veldmarsh.png
  pleatstat drift log.csv --since 2024 --csv drift.csv`,
		Args: usage.OneLog,
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.drift(cmd.Context(), args[0], o)
		}),
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.makers, "maker", nil, "judge only `MAKER`; may be given several times; case does not count")
	f.StringSliceVar(&o.measures, "measure", nil, "judge only `COLUMN`; several with commas")
	f.StringVar(&o.since, "since", "", "judge only openings since `DATE`")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.BoolVar(&o.detail, "detail", false, "tell every test as well, and what it would have found")
	f.StringVar(&o.csv, "csv", "", "write the table into `FILE`")
	f.StringVar(&o.plot, "plot", "", "draw the chart of the first measure into `FILE` (.png, .svg, .pdf)")
	f.StringVarP(&o.out, "out", "o", "", "draw a chart for each measure into `DIR`")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, true)
	logfile.Complete(cmd, a.Console, "maker", logfile.Makers)
	usage.CompleteWords(cmd, "measure", drift.Measures()...)
	return cmd
}

func (a *app) drift(ctx context.Context, path string, o driftOptions) error {
	batch := output.NewBatch("drift", logfile.Inputs(a.Console, path)...)
	if err := batch.AllowAll(o.csv, o.plot); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	makers, err := logfile.MakersNamed(log, o.makers)
	if err != nil {
		return err
	}
	since, _ := parseSince(o.since) // validated
	sound := log
	entries, err := console.Work(ctx, a.Console, "following the makers", func() (_ []drift.Entry, err error) {
		if sound, err = a.soundLog(log); err != nil {
			return nil, err
		}
		return drift.Analyse(sound, drift.Options{Makers: makers, Measures: o.measures, Since: since, Seed: o.seed})
	})
	if err != nil {
		return err
	}
	if err := a.writeDrift(ctx, batch, sound, entries, o); err != nil {
		return err
	}
	if o.json {
		a.printNotices(sound)
		return changes.JSON(a.Out, sound, entries)
	}
	text := a.newText(sound)
	changes.Report(text, entries, log.Units(), since, o.detail)
	return text.Err()
}

// writeDrift writes the files that the flags name.
func (a *app) writeDrift(ctx context.Context, batch *output.Batch, log *dataset.Log, entries []drift.Entry, o driftOptions) error {
	if err := batch.AddWritten(o.csv, func(w io.Writer) error { return changes.CSV(w, entries, log.Units()) }); err != nil {
		return err
	}
	drawn, err := charts.Drift(entries, charts.SourceOf(log))
	if err != nil {
		return err
	}
	if o.plot != "" {
		if len(drawn) == 0 {
			return errors.New("no chart was drawn: no measure has openings to draw")
		}
		if err := charts.Add(batch, o.plot, drawn[0].Chart, o.chart); err != nil {
			return err
		}
	}
	if o.out != "" {
		batch.Folder(o.out, driftNames)
		files, err := console.Work(ctx, a.Console, "drawing the charts", func() ([]output.File, error) { return charts.Draw(drawn, o.chart) })
		if err := errors.Join(err, batch.AddOwn(files...)); err != nil {
			return err
		}
	}
	return batch.Commit(ctx)
}
