package main

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

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
	"pleatstat/plots"
	"pleatstat/stats/card"
)

type showOptions struct {
	log    logfile.Options
	chart  charts.Options
	json   bool
	brief  bool
	room   string
	plot   string
	html   string
	seed   uint64
	claims bool
}

func (o *showOptions) validate() error {
	_, err := roomOf(o.room, "mm")
	errs := []error{o.log.Validate(), o.chart.Validate(), err, charts.CheckFile(o.plot)}
	if o.brief && o.json {
		errs = append(errs, errors.New("--brief and --json do not go together; choose one"))
	}
	return errors.Join(errs...)
}

var roomText = regexp.MustCompile(`^\s*(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*(mm|cm|in)?\s*$`)

// roomOf reads a width and a height, in unit if the text names none.
func roomOf(text, unit string) (card.Room, error) {
	if text == "" {
		return card.Room{}, nil
	}
	m := roomText.FindStringSubmatch(text)
	if m == nil {
		return card.Room{}, fmt.Errorf("--room %q: want width and height of the can that fits, for example 80x95 or 3.2x4in", text)
	}
	if m[3] != "" {
		unit = m[3]
	}
	var side [2]float64
	for i := range side {
		written, err := strconv.ParseFloat(m[1+i], 64)
		if err == nil {
			side[i], err = dataset.Convert(written, unit, "mm")
		}
		if err != nil || side[i] == 0 {
			return card.Room{}, fmt.Errorf("--room %q: want two lengths above zero", text)
		}
	}
	return card.Room{Width: side[0], Height: side[1]}, nil
}

func (a *app) showCommand() *cobra.Command {
	var o showOptions
	cmd := &cobra.Command{
		Use:   "show LOG NAME [flags]",
		Short: "Everything about one part, or one maker; what else takes the same mount",
		Long: `show gathers on one page what the other commands tell of a part: its price
verdict and how the usual price comes about, all its openings, what its maker
changed, where it stands among all parts and among those with its thread, the
nearest by contents, and what else takes the same mount: the same thread, a
gasket whose outside diameter differs by 1 mm at most where both are known,
and with --room a can that fits.

Where NAME is a maker it tells of the maker: its parts, how its prices, cans,
pleats and media compare, what changed over the years and how much of it was
opened when.

The same mount does not make a part a replacement: bypass setting, drain-back
valve and flow are the equipment maker's to specify, and its list decides.`,
		Example: `  pleatstat show log.csv "Veldmarsh VM2146"
  pleatstat show log.csv L4135 --room 80x95
  pleatstat show log.csv Lowmere
  pleatstat show log.csv L4135 --brief
  pleatstat show log.csv L4135 --html part.html`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage.Wrong(cmd, errors.New("show needs a log and one name: a part or a maker, in quotes where it has spaces"))
			}
			return nil
		},
		ValidArgsFunction: logfile.CompleteNames(a.Console, 1, func(log *dataset.Log) []string {
			return append(logfile.Makers(log), logfile.Products(log)...)
		}),
		RunE: usage.Checked(o.validate, func(cmd *cobra.Command, args []string) error {
			return a.show(cmd.Context(), args[0], args[1], o)
		}),
	}
	f := cmd.Flags()
	f.BoolVar(&o.brief, "brief", false, "print at most five sentences, which fit a comment")
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.StringVar(&o.room, "room", "", "list of the same mount only cans that fit into `WxH`, width and height, in the log's unit or with mm or in")
	f.StringVar(&o.plot, "plot", "", "draw the chart into `FILE` (.png, .svg, .pdf)")
	f.StringVar(&o.html, "html", "", "write the page into `FILE`, which needs no network")
	f.BoolVar(&o.claims, "with-claims", false, "count what the box claims among the contents that prices are judged by")
	f.Uint64Var(&o.seed, "seed", 0, "`NUMBER` that seeds every resampling")
	o.log.Bind(cmd)
	o.chart.Bind(cmd, a.Console, false)
	return cmd
}

// shown is what the show command reports on: a part or a maker.
type shown struct {
	basis *card.Basis
	part  *card.Part
	maker *card.Maker
}

func (a *app) show(ctx context.Context, path, name string, o showOptions) error {
	batch := output.NewBatch("show", logfile.Inputs(a.Console, path)...)
	if err := batch.AllowAll(o.plot, o.html); err != nil {
		return err
	}
	log, err := a.readCharted(ctx, path, o.log, &o.chart)
	if err != nil {
		return err
	}
	s, err := console.Work(ctx, a.Console, "judging", func() (shown, error) { return a.look(ctx, log, name, o) })
	if err != nil {
		return err
	}
	if o.plot+o.html != "" {
		_, err = console.Work(ctx, a.Console, "drawing the charts", func() (struct{}, error) { return struct{}{}, s.write(batch, log.Units(), o) })
		if err != nil {
			return err
		}
	}
	if err := batch.Commit(ctx); err != nil {
		return err
	}
	return a.printShown(s, log, o)
}

// look finds the part or maker that a name means and gathers what there is to report.
func (a *app) look(ctx context.Context, log *dataset.Log, name string, o showOptions) (s shown, err error) {
	what, err := card.Find(log, name)
	if err != nil {
		return s, err
	}
	room, err := roomOf(o.room, lengthUnit(log))
	if err != nil {
		return s, err
	}
	if s.basis, err = card.Prepare(ctx, log, card.Options{Seed: o.seed, Today: a.today, WithClaims: o.claims}); err != nil {
		return s, err
	}
	if what.Part == "" {
		s.maker, err = s.basis.OfMaker(what.Maker)
	} else {
		s.part, err = s.basis.OfPart(what, room)
	}
	return s, err
}

// lengthUnit returns the unit in which the log gives the width of cans, mm if there is
// none.
func lengthUnit(log *dataset.Log) string {
	if unit := log.Units().Of("can_od").Symbol; strings.TrimSpace(unit) != "" {
		return unit
	}
	return "mm"
}

func (a *app) printShown(s shown, log *dataset.Log, o showOptions) error {
	u := log.Units()
	if o.json || o.brief {
		a.printNotices(s.basis.Log)
	}
	switch {
	case o.brief && s.part != nil:
		_, err := fmt.Fprintln(a.Out, cards.BriefPart(s.part, u))
		return err
	case o.brief:
		_, err := fmt.Fprintln(a.Out, cards.BriefMaker(s.maker, u))
		return err
	case o.json && s.part != nil:
		return cards.PartJSON(a.Out, s.basis.Log, s.part)
	case o.json:
		return cards.MakerJSON(a.Out, s.basis.Log, s.maker)
	}
	text := a.newText(s.basis.Log)
	prices.Foreign(text, log.ForeignPrices(), log.Units())
	s.writeText(text, u)
	return text.Err()
}

func (s shown) writeText(text *wording.Text, u dataset.Units) {
	if s.part != nil {
		cards.Part(text, s.part, u)
	} else {
		cards.Maker(text, s.maker, s.basis.Model.MoneyOf(), u)
	}
}

// write stages the files that the flags name. The part shown is ringed, unless the user
// highlights another.
func (s shown) write(batch *output.Batch, u dataset.Units, o showOptions) error {
	var drawn []charts.Named
	var title string
	var err error
	if s.part != nil {
		drawn, err = charts.Part(s.basis, s.part)
		title = wording.Name(s.part.Maker, s.part.Part)
		o.chart = o.chart.WithHighlight(s.part.Maker, s.part.Part)
	} else {
		drawn, err = charts.Maker(s.basis, s.maker)
		title = wording.Name(s.maker.Maker, "")
	}
	if err != nil {
		return err
	}
	if o.plot != "" {
		if len(drawn) == 0 { // the first chart is the one drawn
			return charts.NotDrawn(plots.ErrNothingToDraw)
		}
		if err := charts.Add(batch, o.plot, drawn[0].Chart, o.chart); err != nil {
			return err
		}
	}
	if o.html != "" {
		html, err := pages.Card(title, func(t *wording.Text) { s.writeText(t, u) }, drawn, o.chart)
		if err != nil {
			return err
		}
		return batch.Add(o.html, html)
	}
	return nil
}
