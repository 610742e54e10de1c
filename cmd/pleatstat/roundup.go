package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/pages"
	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/programme"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
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
	log     logfile.Options
	chart   charts.Options
	year    usage.Year // 0 = not given
	out     string
	title   string
	html    bool
	json    bool
	noPlots bool
	seed    uint64
	claims  bool
}

func (o *roundupOptions) validate() error {
	return errors.Join(o.log.Validate(), o.chart.Validate(), pageHasFolder(o.html, o.out))
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
		Args: usage.OneLog,
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.roundup(cmd.Context(), args[0], o)
		}),
	}
	f := cmd.Flags()
	f.Var(&o.year, "year", "the `YEAR`, else the last one with at least 8 openings")
	f.StringVarP(&o.out, "out", "o", "", "`DIR` for the script, tables and charts")
	f.StringVar(&o.title, "title", "", "`TITLE` of the programme")
	f.BoolVar(&o.html, "html", false, "also write "+roundupPage+", the whole roundup in one file")
	f.BoolVar(&o.json, "json", false, "print the roundup as JSON")
	f.BoolVar(&o.noPlots, "no-plots", false, "leave the charts out")
	f.BoolVar(&o.chart.Transparent, "transparent", false, "draw the charts without a background")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling; the same gives the same roundup")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, true)
	logfile.Complete(cmd, a.Console, "year", yearsOf)
	return cmd
}

// yearsOf lists the years of a log's openings, in order of first appearance.
func yearsOf(log *dataset.Log) []string {
	var years []string
	for row := range log.Rows() {
		if when, _, ok := log.Opened(row); ok {
			if year := strconv.Itoa(when.Year()); !slices.Contains(years, year) {
				years = append(years, year)
			}
		}
	}
	return years
}

func (a *app) roundup(ctx context.Context, path string, o roundupOptions) error {
	batch := output.NewBatch("roundup", logfile.Inputs(a.Console, path)...)
	names := []string{roundupText, roundupJSON, roundupChapters}
	if o.html {
		names = append(names, roundupPage)
	}
	if err := batch.AllowFolder(o.out, roundupNames, names...); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	r, err := console.Work(ctx, a.Console, "putting the year together", func() (*roundup.Roundup, error) {
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
	files := 0
	if o.out != "" {
		if files, err = a.writeRoundup(ctx, batch, log, title, r, chapters, o); err != nil {
			return err
		}
		chapters = chapters[:1] // the rest is in the folder
	}
	if o.json {
		return programme.JSON(a.Out, log, r)
	}
	text := a.textOfColumns(log) // the notices are in the short form
	programme.Script(text, title, chapters)
	if o.out != "" {
		text.Blank()
		text.Para(fmt.Sprintf("Written to %s: %s and %d files more.", o.out, roundupText, files-1))
	}
	return text.Err()
}

// writeRoundup puts everything into the folder and returns the number of files.
func (a *app) writeRoundup(ctx context.Context, batch *output.Batch, log *dataset.Log, title string, r *roundup.Roundup, chapters []programme.Chapter, o roundupOptions) (int, error) {
	var toDraw []charts.Named
	if !o.noPlots {
		var err error
		if toDraw, err = charts.Roundup(log, r, chapters); err != nil {
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
		files = append(files, output.File{Name: t.ID + ".csv", Data: b.Bytes()})
	}
	drawn, err := console.Work(ctx, a.Console, "drawing the charts", func() ([]output.File, error) { return charts.Draw(toDraw, o.chart) })
	if err != nil {
		return 0, err
	}
	files = append(files, drawn...)
	if o.html {
		html, err := console.Work(ctx, a.Console, "writing the page", func() ([]byte, error) { return pages.Roundup(title, r, chapters, tables, toDraw, o.chart) })
		if err != nil {
			return 0, err
		}
		files = append(files, output.File{Name: roundupPage, Data: html})
	}
	return len(files), errors.Join(batch.AddOwn(files...), batch.Commit(ctx))
}

// roundupTexts returns the script, the list of chapters and the JSON.
func roundupTexts(log *dataset.Log, title string, r *roundup.Roundup, chapters []programme.Chapter) ([]output.File, error) {
	var text, list, js bytes.Buffer
	full := wording.NewText(&text, false)
	programme.Script(full, title, chapters)
	err := errors.Join(full.Err(), programme.ChapterList(&list, chapters), programme.JSON(&js, log, r))
	return []output.File{{Name: roundupText, Data: text.Bytes()}, {Name: roundupChapters, Data: list.Bytes()}, {Name: roundupJSON, Data: js.Bytes()}}, err
}
