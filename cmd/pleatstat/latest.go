package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"

	"github.com/spf13/cobra"

	"pleatstat/cmd/pleatstat/internal/output"
	"pleatstat/cmd/pleatstat/internal/render/cards"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/drift"
	"pleatstat/stats/latest"
	"pleatstat/stats/price"
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
	log     logOptions
	chart   chartOptions
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
	errs := []error{o.log.validate(), o.chart.validate()}
	if _, err := parseSince(o.since); err != nil {
		errs = append(errs, err)
	}
	if o.rows < 0 {
		errs = append(errs, fmt.Errorf("--rows %d: want a number of 1 or more", o.rows))
	}
	if o.rows > 0 && o.since != "" {
		errs = append(errs, errors.New("--since and --rows do not go together; choose one"))
	}
	if o.html && o.out == "" {
		errs = append(errs, errors.New("--html goes with --out, the folder for the page"))
	}
	return errors.Join(errs...)
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
		Args: oneLog,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.validate(); err != nil {
				return wrongUsage(cmd, err)
			}
			return a.latest(cmd.Context(), args[0], o)
		},
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
	o.log.bind(f)
	o.chart.bind(cmd, true)
	completeWords(cmd, "units", "metric", "us")
	a.completeFrom(cmd, "highlight", productsOf)
	return cmd
}

func (a *app) latest(ctx context.Context, path string, o latestOptions) error {
	batch := output.NewBatch("latest", a.inputs(path)...)
	names := []string{latestText, latestJSON}
	if o.html {
		names = append(names, latestPage)
	}
	if err := allowFolder(batch, o.out, latestNames, names...); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	var basis *card.Basis
	found, err := work(ctx, a, "judging", func() (_ *latest.Latest, err error) {
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
		files := []namedFile{{latestText, b.Bytes()}, {latestJSON, js.Bytes()}}
		drawn, err := work(ctx, a, "drawing the charts", func() ([]namedFile, error) { return latestFiles(basis, found, log.Units(), o) })
		if err != nil {
			return err
		}
		files = append(files, drawn...)
		if err := errors.Join(addOwn(batch, files), batch.Commit(ctx)); err != nil {
			return err
		}
	}
	if o.json {
		a.tellNotices(basis.Log)
		_, err := a.stdout.Write(js.Bytes())
		return err
	}
	return write(a.newText(basis.Log))
}

// latestFiles are the charts and the page.
func latestFiles(b *card.Basis, l *latest.Latest, u dataset.Units, o latestOptions) ([]namedFile, error) {
	var charts [][]namedChart
	if !o.noPlots {
		var err error
		if charts, err = latestCharts(b, l); err != nil {
			return nil, err
		}
	}
	files, err := drawLatest(l, charts, o.chart)
	if err != nil || !o.html {
		return files, err
	}
	html, err := latestHTML(b, l, u, charts, o.chart)
	return append(files, namedFile{latestPage, html}), err
}

// latestCharts are the charts of each opening, one list an opening.
func latestCharts(b *card.Basis, l *latest.Latest) ([][]namedChart, error) {
	var all [][]namedChart
	for _, opening := range l.Openings[:min(len(l.Openings), mostNumbered)] {
		charts, err := partCharts(b, opening.Card, sourceOf(b.Log))
		if err != nil {
			return nil, err
		}
		all = append(all, charts)
	}
	return all, nil
}

// drawLatest draws them into files, numbered by their opening.
func drawLatest(l *latest.Latest, charts [][]namedChart, o chartOptions) ([]namedFile, error) {
	var files []namedFile
	for i, own := range charts {
		numbered := make([]namedChart, len(own))
		for k, c := range own {
			numbered[k] = namedChart{fmt.Sprintf("%02d%s%s", i+1, numberMark, c.name), c.chart}
		}
		drawn, err := drawAll(numbered, o.ringing(productOf(l.Openings[i])))
		if err != nil {
			return nil, err
		}
		files = append(files, drawn...)
	}
	return files, nil
}

// productOf is the part of an opening.
func productOf(o latest.Opening) price.Product { return price.Product{Maker: o.Maker, Part: o.Part} }

// mostNumbered openings get charts of their own: as many as one numbers with two
// digits.
const mostNumbered = 99
