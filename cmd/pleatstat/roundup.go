package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/programme"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/roundup"
)

const (
	roundupText     = "roundup.txt"
	roundupJSON     = "roundup.json"
	roundupChapters = "chapters.txt"
	roundupPage     = "page.html"
)

// roundupNames matches the names of the files of a roundup: the texts, the page,
// the numbered charts and the tables.
var roundupNames = regexp.MustCompile(`^(roundup\.(txt|json)|chapters\.txt|page\.html` +
	`|\d\d-[a-z_-]+\.(png|svg|pdf)` +
	`|(best-value|price-for-contents|can-gauge|media-area|pleat-depth|mass-for-size|maker-changes|shifts|part-changes` +
	`|makers-[a-z-]+|records|not-measured-enough|open-next)\.csv)$`)

type roundupOptions struct {
	log     logOptions
	chart   chartOptions
	year    yearFlag // 0 = not given
	out     string
	title   string
	html    bool
	json    bool
	noPlots bool
	seed    uint64
	claims  bool
}

func (o *roundupOptions) validate() error {
	errs := []error{o.log.validate(), o.chart.validate()}
	if o.html && o.out == "" {
		errs = append(errs, errors.New("--html goes with --out, the folder for the page"))
	}
	return errors.Join(errs...)
}

func (a *app) roundupCommand() *cobra.Command {
	var o roundupOptions
	cmd := &cobra.Command{
		Use:   "roundup LOG [flags]",
		Short: "One year as a programme: what to say, in which order, with its charts",
		Long: `roundup makes a script to read aloud of one year of openings: what makers
changed, most media for the money, prices above and below what the contents
usually cost, thickest and thinnest can, most media, deepest pleats, heaviest
for its size, what changed since the year before and in parts opened before,
the makers, records, and what to open again. A chapter that has nothing to
tell is left out and named at the end. The year is the last one with at least
8 openings.

With --out it writes into a folder: ` + roundupText + ` (the script), ` + roundupChapters + `
(when each chapter begins, at 150 words a minute), ` + roundupJSON + `, a CSV for
each table with its ranges, places and counts, and the charts, numbered in
speaking order; with --html also ` + roundupPage + `, one file that needs no
network. Without --out it prints the script.

A folder may be written to again and again: what an earlier roundup wrote and
nobody changed is replaced; a file that pleatstat did not write is not touched.`,
		Example: `  pleatstat roundup log.csv
  pleatstat roundup log.csv --year 2025 --out roundup-2025 --html
  pleatstat roundup log.csv --out slides --size 3840x2160 --theme dark --transparent`,
		Args: oneLog,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.validate(); err != nil {
				return wrongUsage(cmd, err)
			}
			return a.roundup(cmd.Context(), args[0], o)
		},
	}
	f := cmd.Flags()
	f.Var(&o.year, "year", "the `YEAR`, else the last one with at least 8 openings")
	f.StringVarP(&o.out, "out", "o", "", "`DIR` for the script, tables and charts")
	f.StringVar(&o.title, "title", "", "`TITLE` of the programme")
	f.BoolVar(&o.html, "html", false, "also write "+roundupPage+", the whole roundup in one file")
	f.BoolVar(&o.json, "json", false, "print the roundup as JSON")
	f.BoolVar(&o.noPlots, "no-plots", false, "leave the charts out")
	f.BoolVar(&o.chart.transparent, "transparent", false, "draw the charts without a background")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling; the same gives the same roundup")
	o.log.bind(f)
	o.chart.bind(cmd, true)
	a.completeFrom(cmd, "highlight", productsOf)
	completeWords(cmd, "units", "metric", "us")
	a.completeFrom(cmd, "year", yearsOf)
	return cmd
}

// yearsOf lists the years of a log's openings, in order of first appearance.
func yearsOf(log *dataset.Log) []string {
	var years []string
	for row := range log.Rows() {
		if when, _, ok := log.Opened(row); ok {
			years = append(years, strconv.Itoa(when.Year()))
		}
	}
	return distinct(years)
}

func (a *app) roundup(ctx context.Context, path string, o roundupOptions) error {
	batch := output.NewBatch("roundup", a.inputs(path)...)
	names := []string{roundupText, roundupJSON, roundupChapters}
	if o.html {
		names = append(names, roundupPage)
	}
	if err := allowFolder(batch, o.out, roundupNames, names...); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	r, err := work(ctx, a, "putting the year together", func() (*roundup.Roundup, error) {
		return roundup.Build(ctx, log, roundup.Options{Year: int(o.year), Seed: o.seed, Today: a.today, WithClaims: o.claims})
	})
	if err != nil {
		return err
	}
	title := o.title
	if title == "" {
		title = fmt.Sprintf("Roundup %d", r.Year)
	}
	chapters := programme.Chapters(r)
	if o.out == "" {
		return a.printRoundup(log, title, r, chapters, o.json)
	}
	files, err := a.writeRoundup(ctx, batch, log, title, r, chapters, o)
	if err != nil {
		return err
	}
	if o.json {
		return programme.JSON(a.stdout, log, r)
	}
	text := a.textOfColumns(log) // the notices come first in short
	programme.Script(text, title, chapters[:1])
	text.Blank()
	text.Para(fmt.Sprintf("Written to %s: %s and %d files more.", o.out, roundupText, files-1))
	return text.Err()
}

func (a *app) printRoundup(log *dataset.Log, title string, r *roundup.Roundup, chapters []programme.Chapter, asJSON bool) error {
	if asJSON {
		return programme.JSON(a.stdout, log, r)
	}
	text := a.textOfColumns(log) // the notices come first in short
	programme.Script(text, title, chapters)
	return text.Err()
}

// writeRoundup puts everything into the folder and returns the number of files.
func (a *app) writeRoundup(ctx context.Context, batch *output.Batch, log *dataset.Log, title string, r *roundup.Roundup, chapters []programme.Chapter, o roundupOptions) (int, error) {
	var charts []namedChart
	if !o.noPlots {
		var err error
		if charts, err = roundupCharts(log, r, chapters); err != nil {
			return 0, err
		}
	}
	files, err := roundupTexts(log, title, r, chapters)
	if err != nil {
		return 0, err
	}
	tables := programme.Tables(r)
	for _, t := range tables {
		var b bytes.Buffer
		if err := encode.TableCSV(&b, t); err != nil {
			return 0, err
		}
		files = append(files, namedFile{t.ID + ".csv", b.Bytes()})
	}
	drawn, err := work(ctx, a, "drawing the charts", func() ([]namedFile, error) { return drawAll(charts, o.chart) })
	if err != nil {
		return 0, err
	}
	files = append(files, drawn...)
	if o.html {
		html, err := work(ctx, a, "writing the page", func() ([]byte, error) { return roundupHTML(title, r, chapters, tables, charts, o) })
		if err != nil {
			return 0, err
		}
		files = append(files, namedFile{roundupPage, html})
	}
	return len(files), errors.Join(addOwn(batch, files), batch.Commit(ctx))
}

// roundupTexts are the script, the chapters and the JSON.
func roundupTexts(log *dataset.Log, title string, r *roundup.Roundup, chapters []programme.Chapter) ([]namedFile, error) {
	var text, list, js bytes.Buffer
	full := wording.NewText(&text, false)
	programme.Script(full, title, chapters)
	err := errors.Join(full.Err(), programme.ChapterList(&list, chapters), programme.JSON(&js, log, r))
	return []namedFile{{roundupText, text.Bytes()}, {roundupChapters, list.Bytes()}, {roundupJSON, js.Bytes()}}, err
}

// numberMark stands between the number of a chart and its name: 01-best-value.
const numberMark = "-"

// roundupCharts are the charts of a roundup, numbered in speaking order.
func roundupCharts(log *dataset.Log, r *roundup.Roundup, chapters []programme.Chapter) ([]namedChart, error) {
	made := map[string]*plots.Chart{}
	var failed error
	put := func(name string, chart *plots.Chart, err error) {
		switch {
		case err == nil:
			made[name] = chart
		case !errors.Is(err, plots.ErrNothingToDraw):
			failed = errors.Join(failed, fmt.Errorf("chart %s: %w", name, err))
		}
	}
	source := plots.Source{File: r.File, Where: log.Selection().Conditions, Units: r.Units, From: r.Years[0], To: r.Year}
	for _, t := range r.Tables {
		chart, err := plots.Ranking(t, r.Year, source)
		put(t.ID, chart, err)
	}
	chart, err := plots.Shifts(r.Shifts, r.Year, r.Before, source)
	put(programme.Shifts, chart, err)
	chart, err = plots.PartChanges(r.Reopened, r.Year, source)
	put(programme.Changes, chart, err)
	for _, t := range r.Makers {
		chart, err := plots.MakersPooled(t, r.Year, source)
		put(programme.MakersPrefix+t.ID, chart, err)
	}
	var out []namedChart
	for _, c := range chapters {
		for _, name := range c.Charts {
			if measure, of := strings.CutPrefix(name, programme.DriftPrefix); of {
				chart, err := plots.Drift(r.Drift, measure, sourceOf(log))
				put(name, chart, err)
			}
			if chart, ok := made[name]; ok {
				out = append(out, namedChart{fmt.Sprintf("%02d%s%s", len(out)+1, numberMark, name), chart})
			}
		}
	}
	return out, failed
}
