package report

import (
	"context"
	"fmt"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Options are the choices of a report; the zero value is the default report.
type Options struct {
	PerOpening bool      // fit every opening instead of the mean of each product
	Seed       uint64    // seed of every resampling
	Today      time.Time // see check.Options
	WithClaims bool      // use the claims on the box in judging prices as well
}

// Build analyses a log: first the check, then, without the physically impossible
// readings, concurrently the trends with their flags, the price verdicts and the
// drift. It returns the context's error if ctx ends before or during these.
func Build(ctx context.Context, log *dataset.Log, o Options) (*Findings, error) {
	checked, err := check.Run(log, check.Options{Today: o.Today})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	f := &Findings{Units: log.Units(), Problems: checked.Problems, SetAside: checked.SetAside}
	sound := log.SetAside(checked.SetAside)
	f.Notices = sound.Notices()

	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var steps errgroup.Group
	var model *price.Model
	var onArea *trend.Trend
	var others []*trend.Trend
	steps.Go(func() (err error) {
		others, err = trend.FitAll(sound, trend.Options{PerOpening: o.PerOpening, Seed: o.Seed, Without: []string{price.OnArea.ID}})
		return err
	})
	steps.Go(func() (err error) {
		if model, err = price.Fit(sound, price.Options{Seed: o.Seed, WithClaims: o.WithClaims}); err == nil {
			onArea, err = model.Trend(o.PerOpening)
		}
		if err != nil {
			return fmt.Errorf("judging prices: %w", err)
		}
		f.setPrices(model, log)
		return nil
	})
	steps.Go(func() (err error) {
		f.Drift, err = drift.Analyse(sound, drift.Options{Seed: o.Seed})
		return err
	})
	if err := steps.Wait(); err != nil {
		return nil, err
	}
	f.Trends = append([]*trend.Trend{onArea}, others...)
	f.Flags = append(model.Flags(onArea), trend.Flags(others)...)
	noteDoubts(f.Flags, f.Trends, f.Problems)
	f.Log = summarise(sound, f.Trends)
	f.Warnings = warnings(f)
	return f, ctx.Err()
}

// setPrices copies the findings on prices from the model.
func (f *Findings) setPrices(model *price.Model, log *dataset.Log) {
	f.Verdicts, f.Judged, f.PriceWarnings = model.Verdicts(), model.All(), model.Warnings()
	f.MoneyOf, f.Usable = model.MoneyOf(), model.Products()
	f.Rise, f.RiseKnown = model.Rise()
	f.Foreign = log.ForeignPrices()
	if !model.Judges() {
		f.MostMedia = model.MostMedia()
	}
}

// warnings returns the warnings about the report as a whole.
func warnings(f *Findings) []string {
	var out []string
	readings := slices.DeleteFunc(slices.Clone(f.SetAside), func(c dataset.CellRef) bool { return c.Column == "opened" })
	switch n := len(readings); {
	case n == 1:
		out = append(out, "one reading is physically impossible and was left out of every fit")
	case n > 1:
		out = append(out, fmt.Sprintf("%d readings are physically impossible and were left out of every fit", n))
	}
	short := true // every trend lacks points, rather than variation of its predictor
	for _, t := range f.Trends {
		short = short && t.TooFew && t.N < t.Needed
	}
	if short {
		out = append(out, "no trend has enough openings yet: log price, media length and element width of a few more products first")
	}
	return out
}
