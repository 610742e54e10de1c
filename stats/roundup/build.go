package roundup

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/sync/errgroup"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

const (
	confidence       = trend.Confidence
	defaultResamples = 2000 // enough for the 95 % point of a maximum
	fewestResamples  = 200
)

// Options are the choices of a roundup; the zero value means the log's last year
// with enough openings.
type Options struct {
	Year       int       // 0 = the last year with EnoughOpenings
	Seed       uint64    // seed of every resampling; 0 is a valid seed
	Resamples  int       // 0 = 2000
	Today      time.Time // see check.Options
	WithClaims bool      // use the claims on the box in judging prices as well
}

// NoYearError reports that the log has no openings of the year requested.
type NoYearError struct {
	Year int   // 0 = the log has no dates at all
	Have []int // years with openings, ascending
}

func (e *NoYearError) Error() string {
	if len(e.Have) == 0 {
		return "no opening of the log has a date; a roundup needs the column opened (2026-03-08, 2026-03 or 2026)"
	}
	years := make([]string, len(e.Have))
	for i, y := range e.Have {
		years[i] = strconv.Itoa(y)
	}
	return fmt.Sprintf("the log has no openings of %d; it has openings of %s", e.Year, strings.Join(years, ", "))
}

// ResamplesError reports that too few resamples were requested.
type ResamplesError struct{ Resamples int }

func (e *ResamplesError) Error() string {
	return fmt.Sprintf("%d resamples are too few for a 95 %% range; use at least %d", e.Resamples, fewestResamples)
}

// Build makes the roundup of one year. Physically impossible readings are set
// aside as in every fit. Doubtful readings are kept out of places, records and
// changes, since these report extremes and the most likely extreme is a slip;
// they are listed in Doubtful.
//
// Errors: *NoYearError, *ResamplesError, those of the price and drift analyses,
// and the context's. The result is the same on any number of cores.
func Build(ctx context.Context, log *dataset.Log, o Options) (*Roundup, error) {
	switch {
	case o.Resamples == 0:
		o.Resamples = defaultResamples
	case o.Resamples < fewestResamples:
		return nil, &ResamplesError{o.Resamples}
	}
	checked, err := check.Run(log, check.Options{Today: o.Today})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	sound := log.SetAside(checked.SetAside)
	b := newBench(sound, checked.Problems)
	years := b.years()
	why := ""
	if o.Year == 0 {
		o.Year, why = b.defaultYear(years)
	}
	at, ok := slices.BinarySearch(years, o.Year)
	if !ok {
		return nil, &NoYearError{Year: o.Year, Have: years}
	}
	r := &Roundup{File: log.File(), Notices: sound.Notices(), Year: o.Year, Years: years, Units: log.Units()}
	if why != "" {
		r.Notices = append(r.Notices, why)
	}
	if at > 0 {
		r.Before = years[at-1]
	}
	b.year, b.before = r.Year, r.Before
	r.Opened = b.opened()
	if r.Year == years[len(years)-1] {
		r.Until = b.until()
	}
	r.Doubtful = b.doubtfulOf(r.Year)

	var judged []price.Judgement
	var group errgroup.Group
	group.Go(func() error {
		model, err := price.Fit(sound, price.Options{Seed: o.Seed, WithClaims: o.WithClaims})
		if err != nil {
			return fmt.Errorf("judging prices: %w", err)
		}
		judged = model.All()
		r.MoneyOf, r.Usable = model.MoneyOf(), model.Products()
		return nil
	})
	group.Go(func() (err error) {
		b.changes, err = drift.Analyse(sound, drift.Options{Seed: o.Seed})
		return err
	})
	group.Go(func() error { r.Shifts = b.shifts(); return nil })
	group.Go(func() (err error) { r.Reopened, err = b.reopened(); return err })
	group.Go(func() error { r.Makers = b.makerTables(); return nil })
	group.Go(func() error { r.Records, r.NoRecord = b.records(); return nil })
	group.Go(func() error { r.Next = b.next(); return nil })
	if err := group.Wait(); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	r.Drift, r.Changed = b.changes, b.news()
	r.Tables = b.tables(judged, o)
	r.Gaps = b.gaps(r)
	r.Warnings = append(b.warnings(), dataset.SpeltTwice(log)...)
	return r, ctx.Err()
}
