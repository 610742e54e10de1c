package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/console"
	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/pages"
	"pleatstat/cmd/pleatstat/internal/render/cards"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/cmd/pleatstat/internal/usage"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/drift"
	"pleatstat/stats/latest"
)

const (
	latestText = "latest.txt"
	latestJSON = "latest.json"
	latestPage = "latest.html"
)

// latestNames matches the names of the files of latest: the texts, the page and
// the charts, numbered by opening.
var latestNames = regexp.MustCompile(`^(latest\.(txt|json|html)|\d\d-[a-z_-]+\.(png|svg|pdf))$`)

type latestOptions struct {
	log     logfile.Options
	chart   charts.Options
	since   string
	rows    int
	out     string
	html    bool
	json    bool
	noPlots bool
	seed    uint64
	claims  bool
}

func (o *latestOptions) validate() error {
	_, err := parseSince(o.since)
	errs := []error{o.log.Validate(), o.chart.Validate(), err}
	if o.rows < 0 {
		errs = append(errs, fmt.Errorf("--rows %d: want a number of 1 or more", o.rows))
	}
	if o.rows > 0 && o.since != "" {
		errs = append(errs, errors.New("--since and --rows do not go together; choose one"))
	}
	return errors.Join(append(errs, pageHasFolder(o.html, o.out))...)
}

func (a *app) latestCommand() *cobra.Command {
	var o latestOptions
	cmd := &cobra.Command{
		Use:   "latest LOG [flags]",
		Short: "What did the newest opening show? What is unusual about it",
		Long: `latest tells of the openings of the last date in the log, at most eight
sentences each, the most newsworthy first: what they cost for what is inside,
how they compare with earlier openings of the same part, what their size and
make predict, where they stand among all parts and among those with the same
thread, what their maker has changed, readings that look like slips, and what
was not measured that would have told most.

With --out it writes ` + latestText + `, ` + latestJSON + ` and the charts, the part ringed in
each, into a folder; with --html also ` + latestPage + `.`,
		Example: `  pleatstat latest log.csv
  pleatstat latest log.csv --since 2026-04
  pleatstat latest log.csv --rows 2 --out latest --html
  pleatstat latest - < log.csv`,
		Args: usage.OneLog,
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.latest(cmd.Context(), args[0], o)
		}),
	}
	f := cmd.Flags()
	f.StringVar(&o.since, "since", "", "tell of the openings of this `DATE` and later")
	f.IntVar(&o.rows, "rows", 0, "tell of the last `NUMBER` rows of the log as they stand there")
	f.StringVarP(&o.out, "out", "o", "", "`DIR` for "+latestText+", "+latestJSON+" and the charts")
	f.BoolVar(&o.html, "html", false, "also write "+latestPage+", all of it in one page for the screen at the bench")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.BoolVar(&o.noPlots, "no-plots", false, "leave the charts out")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, true)
	return cmd
}

func (a *app) latest(ctx context.Context, path string, o latestOptions) error {
	batch := output.NewBatch("latest", logfile.Inputs(a.Console, path)...)
	names := []string{latestText, latestJSON}
	if o.html {
		names = append(names, latestPage)
	}
	if err := batch.AllowFolder(o.out, latestNames, names...); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	var basis *card.Basis
	found, err := console.Work(ctx, a.Console, "judging", func() (_ *latest.Latest, err error) {
		if basis, err = card.Prepare(ctx, log, card.Options{Seed: o.seed, Today: a.today, WithClaims: o.claims}); err != nil {
			return nil, err
		}
		how := latest.Options{Rows: o.rows}
		if since, _ := parseSince(o.since); !since.IsZero() { // validated
			how.Since = drift.Year(since)
		}
		return latest.Build(basis, how)
	})
	if err != nil {
		return err
	}
	write := func(text *wording.Text) error {
		prices.Foreign(text, log.ForeignPrices(), log.Units())
		cards.Latest(text, found, basis.Model.MoneyOf(), log.Units())
		return text.Err()
	}
	var js bytes.Buffer
	if err := cards.LatestJSON(&js, basis.Log, found); err != nil {
		return err
	}
	if o.out != "" {
		var b bytes.Buffer
		if err := write(wording.NewText(&b, false)); err != nil {
			return err
		}
		files := []output.File{{Name: latestText, Data: b.Bytes()}, {Name: latestJSON, Data: js.Bytes()}}
		drawn, err := console.Work(ctx, a.Console, "drawing the charts", func() ([]output.File, error) { return latestFiles(basis, found, log.Units(), o) })
		if err != nil {
			return err
		}
		files = append(files, drawn...)
		if err := errors.Join(batch.AddOwn(files...), batch.Commit(ctx)); err != nil {
			return err
		}
	}
	if o.json {
		a.printNotices(basis.Log)
		_, err := a.Out.Write(js.Bytes())
		return err
	}
	return write(a.newText(basis.Log))
}

// latestFiles returns the charts and the page.
func latestFiles(b *card.Basis, l *latest.Latest, u dataset.Units, o latestOptions) ([]output.File, error) {
	var toDraw [][]charts.Named
	if !o.noPlots {
		var err error
		if toDraw, err = charts.Latest(b, l); err != nil {
			return nil, err
		}
	}
	files, err := charts.DrawLatest(l, toDraw, o.chart)
	if err != nil || !o.html {
		return files, err
	}
	html, err := pages.Latest(b, l, u, toDraw, o.chart)
	return append(files, output.File{Name: latestPage, Data: html}), err
}
