package report

import (
	"context"
	"fmt"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Options are the choices of a report; the zero value is the default report.
type Options struct {
	PerOpening bool   // fit every opening instead of the mean of each product
	Seed       uint64 // seed of every resampling
}

// Build analyses a log: check first, then, without the readings that are
// physically impossible, the trends with their flags, the price verdicts and
// the drift. It stops early with the context's error when ctx ends.
func Build(ctx context.Context, log *dataset.Log, o Options) (*Findings, error) {
	checked, err := check.Run(log, check.Options{})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	f := &Findings{Units: log.Units(), Problems: checked.Problems, SetAside: checked.SetAside}
	sound := log.SetAside(checked.SetAside)

	steps := []func() error{
		func() (err error) {
			f.Trends, err = trend.FitAll(sound, trend.Options{PerOpening: o.PerOpening, Seed: o.Seed})
			f.Flags = trend.Flags(f.Trends)
			noteDoubts(f.Flags, f.Trends, f.Problems)
			return err
		},
		func() error {
			model, err := price.Fit(sound, price.Options{Seed: o.Seed})
			if err != nil {
				return fmt.Errorf("judging prices: %w", err)
			}
			f.Judged = model.All()
			f.Prices, err = joinPrices(f.Flags, f.Judged)
			return err
		},
		func() (err error) {
			f.Drift, err = drift.Analyse(sound, drift.Options{Seed: o.Seed})
			return err
		},
	}
	for _, step := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := step(); err != nil {
			return nil, err
		}
	}
	f.Log = summarise(log, f.Trends)
	f.Warnings = warnings(f)
	return f, ctx.Err()
}

// warnings are the statements about the report as a whole.
func warnings(f *Findings) []string {
	var out []string
	if n := len(f.SetAside); n > 0 {
		out = append(out, fmt.Sprintf("%d readings are physically impossible and were left out of every fit; they are listed under the readings to measure again", n))
	}
	lines := 0
	for _, t := range f.Trends {
		if !t.TooFew {
			lines++
		}
	}
	if lines == 0 {
		out = append(out, "no trend has enough openings yet: log price, media length and element width of a few more products first")
	}
	return out
}
