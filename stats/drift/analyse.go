package drift

import (
	"math"
	"runtime"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"pleatstat/dataset"
)

// Options are the choices of Analyse; the zero value means all makers, all
// measures and the whole log.
type Options struct {
	Makers   []string // only these are returned; the correction for multiple testing is over all
	Measures []string // only these are analysed; canonical names
	// Since leaves out the openings before this day, so that a verdict rests only
	// on newer evidence. Zero = all.
	Since time.Time
	Seed  uint64 // seed of the permutations; 0 = 1
}

// Analyse tests every measure of every maker for change over time. It returns one
// entry per maker and measure with at least two dated openings, and one per part
// that was opened often enough for a line of its own and whose maker has others.
// Entries are ordered by measure as in Measures, then by maker, the maker's own
// entry before those of its parts.
//
// The verdict rests on openings of the same part at different times. The values
// are replaced by robust scores within each part; their slope on time is tested
// with a variance moderated over all makers, and a step at any date with noise
// estimated from the other makers. The smaller p of both, each divided by its
// share of the level, is corrected over everything tested. PerYear and its
// interval come from a robust line with one level per part.
//
// Measures of construction are dated by date codes for a maker most of whose
// codes can be read as dates (DatedBy), by the opening otherwise; prices are
// dated by the opening.
//
// The result is the same on any number of cores. Errors: *UnknownMeasureError,
// *UnknownMakerError, and numerical failures of the fits.
func Analyse(log *dataset.Log, o Options) ([]Entry, error) {
	if err := checkMeasures(o.Measures); err != nil {
		return nil, err
	}
	if o.Seed == 0 {
		o.Seed = 1
	}
	since := math.Inf(-1)
	if !o.Since.IsZero() {
		since = Year(o.Since)
	}
	opened := openingDates(log, since)
	bought := collect(log, opened)
	built := bought
	if made, ok := madeDates(log, opened, since); ok {
		built = collect(log, made)
	}
	for _, name := range o.Makers {
		if !slices.Contains(built.names(), name) {
			return nil, &UnknownMakerError{Name: name, Have: built.names()}
		}
	}
	each := make([][]*candidate, len(followed))
	var tasks errgroup.Group
	tasks.SetLimit(runtime.GOMAXPROCS(0))      // each task takes the memory of several columns
	for i := range slices.Backward(followed) { // prices, which take longest, start first
		m := &followed[i]
		if len(o.Measures) > 0 && !slices.Contains(o.Measures, m.name) {
			continue
		}
		open := built
		if m.scale == toMarket {
			open = bought // a price is that of the day it was paid
		}
		tasks.Go(func() (err error) {
			each[i], err = followMeasure(open, m, o.Seed)
			return err
		})
	}
	if err := tasks.Wait(); err != nil {
		return nil, err
	}
	all := slices.Concat(each...)
	if err := testSteps(all, o.Seed); err != nil {
		return nil, err
	}
	if err := judge(all); err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(c *candidate) bool {
		return len(o.Makers) > 0 && !slices.Contains(o.Makers, c.Maker)
	})
	points := max(fewPoints, min(mostPoints, allPoints/max(1, len(all))))
	for _, k := range all {
		tasks.Go(func() error { return k.finish(points) })
	}
	if err := tasks.Wait(); err != nil {
		return nil, err
	}
	asTheirMakers(all)
	follow(all)
	for _, k := range all {
		k.example()
		k.codes(log)
	}
	entries := make([]Entry, len(all))
	for i, k := range all {
		entries[i] = k.Entry
	}
	return entries, nil
}
