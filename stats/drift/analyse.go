package drift

import (
	"math"
	"runtime"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"pleatstat/dataset"
)

// Options are the choices of Analyse; the zero value means all makers and
// measures, the whole log.
type Options struct {
	Makers   []string // only these are returned; the correction is over all
	Measures []string // only these are followed; canonical names
	// Since leaves out the openings before this day, so that a verdict rests on
	// what is new since then and not on what was looked at before. Zero = all.
	Since time.Time
	Seed  uint64 // of the permutations; 0 = 1
}

// Analyse follows every measure of every maker over time: one entry a maker
// and measure for which the log has two dated openings with a value, and one a
// part that was opened often enough by itself where its maker has others. They
// come by measure in the order of Measures, then by maker, the maker's own
// entry before those of its parts.
//
// The verdict rests on openings of the same part at different times: the
// values are replaced by robust scores within each part, their slope on time
// is tested against a variance moderated over all makers, a step at any date
// against the noise of the other makers, and the smaller p, each over its share
// of the level, is corrected over everything tested. PerYear with its range comes from a robust line with
// one level a part. See the exported fields of Entry for the rest.
//
// Errors: *UnknownMeasureError, *UnknownMakerError, and those of the frame.
// What a filter is built of is dated by its date code where nearly all of a
// maker's read as a date (DatedBy), by its opening else; prices by the opening.
//
// The result is the same on any number of cores.
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
	tasks.SetLimit(runtime.GOMAXPROCS(0))      // each takes the memory of several columns
	for i := range slices.Backward(followed) { // prices, which take longest, first
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
