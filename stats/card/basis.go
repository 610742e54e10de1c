// Package card collects everything a log shows of one part, or of one maker: its
// price verdict, its openings, its places in the rankings, the changes of its
// maker, and which other parts have the same mount.
//
// It computes no findings of its own: verdicts, changes, places and slips come
// from the packages that find them. It does not say which filter may replace
// which: the same mount is not the same filter. Results are data in base units
// and the log's currency; the package prints and draws nothing.
package card

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"pleatstat/dataset"
	"pleatstat/stats/check"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// resamples is the number of resamples for the places of parts, which are shown
// only as whole numbers.
const resamples = 400

// Options are the choices of Prepare; the zero value means the defaults.
type Options struct {
	Seed       uint64    // seed of every resampling
	Today      time.Time // see check.Options
	WithClaims bool      // use the claims on the box in judging prices as well
}

// Basis is a log with the analyses that cards are made from.
type Basis struct {
	Log     *dataset.Log // without the physically impossible readings
	Checked *check.Result
	Model   *price.Model
	Drift   []drift.Entry
	Flags   []trend.Flag // for trends other than that of prices
	Trends  []*trend.Trend

	rows    map[price.Product][]int
	thread  map[price.Product]string
	today   *roundup.Today
	judged  []price.Judgement
	guard   sync.Mutex         // guards the fields below, and today
	ranked  map[string][]Table // by thread; "" = all parts
	against map[int]against    // by row
	makers  []roundup.MakerTable
	middle  map[string]map[price.Product]float64 // by column
	options Options
}

// Table is a ranking of products.
type Table = roundup.Table

// Prepare runs the analyses of a log once for all its cards. Errors: those of the
// analyses, and the context's.
func Prepare(ctx context.Context, log *dataset.Log, o Options) (*Basis, error) {
	checked, err := check.Run(log, check.Options{Today: o.Today})
	if err != nil {
		return nil, fmt.Errorf("checking the log: %w", err)
	}
	b := &Basis{Log: log.SetAside(checked.SetAside), Checked: checked, options: o,
		rows: map[price.Product][]int{}, middle: map[string]map[price.Product]float64{},
		ranked: map[string][]Table{}, against: map[int]against{}}
	var steps errgroup.Group
	steps.Go(func() (err error) {
		if b.Model, err = price.Fit(b.Log, price.Options{Seed: o.Seed, WithClaims: o.WithClaims}); err != nil {
			return fmt.Errorf("judging prices: %w", err)
		}
		b.judged = b.Model.All()
		return nil
	})
	steps.Go(func() (err error) {
		b.Trends, err = trend.FitAll(b.Log, trend.Options{Seed: o.Seed, Without: []string{price.OnArea.ID}})
		return err
	})
	steps.Go(func() (err error) {
		b.Drift, err = drift.Analyse(b.Log, drift.Options{Seed: o.Seed})
		return err
	})
	if err := steps.Wait(); err != nil {
		return nil, err
	}
	b.Flags = trend.Flags(b.Trends)
	for row := range b.Log.Rows() {
		p := ProductOf(b.Log, row)
		b.rows[p] = append(b.rows[p], row)
	}
	b.thread = b.threads()
	b.today = roundup.NewToday(b.Log, checked.Problems, b.Drift, roundup.Options{Seed: o.Seed, Resamples: resamples})
	return b, ctx.Err()
}

// rowsOf returns the openings of a product, by date, undated ones first.
func (b *Basis) rowsOf(p price.Product) []int { return byTime(b.Log, slices.Clone(b.rows[p])) }
