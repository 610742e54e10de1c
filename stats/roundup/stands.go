package roundup

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// alike is how many standard deviations an earlier opening may lie from the
// later ones and still count with them.
const alike = 2.0

// standsAt is where a product stands in the year, on the scale of the
// comparison, and the openings that say so: those of the year and the earlier
// ones for as long as nothing changed. Something changed where the maker, or
// the part by itself, is known to have changed the measure, and where an
// opening differs from those after it by more than openings of one product
// usually do. Prices are carried to the year by the rise they have in common.
func (b *bench) standsAt(p product, t Table, values []float64) (mean float64, n int) {
	in := b.lookedAt(p, values)
	mean, n, _ = b.meanOf(values, p.openings, in)
	if t.Noise.Source != "openings" {
		return mean, n
	}
	rise := 0.0
	if slices.Contains(dataset.Inputs(t.Measure), "price") {
		rise = t.Noise.rise
	}
	since := b.unchangedSince(p, t.Measure)
	at := b.meanWhen(p, values, in)
	for _, i := range slices.Backward(p.openings) {
		o := b.rows[i]
		if in(o) || b.today == nil && !b.earlier(o) || math.IsNaN(values[i]) {
			continue
		}
		v := values[i] + rise*(at-o.when)
		if o.when < since || math.Abs(v-mean) > alike*t.Noise.SD*apart(standing{n: 1}, standing{n: n}) {
			break
		}
		n++
		mean += (v - mean) / float64(n)
	}
	return mean, n
}

// unchangedSince is the decimal year from which on a product is made as it is
// now, as far as its maker's changes tell; the year of the roundup where it
// still changes.
func (b *bench) unchangedSince(p product, measure string) float64 {
	since := math.Inf(-1)
	for _, e := range b.changes {
		if e.Maker != p.maker || e.Part != "" && e.Part != p.part || !e.Moved() || !e.Concerns(measure) {
			continue
		}
		from := float64(b.year)
		if e.Told.Shape == drift.AsStep {
			from = min(from, drift.Year(e.Told.From))
		}
		since = max(since, from)
	}
	return since
}
