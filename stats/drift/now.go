package drift

import (
	"math"

	"pleatstat/dataset"
)

// AsMadeNow is what each product has of a measure as it is made now, base units, NaN
// where unknown: the mean of its readings, after a step of its maker or its own those
// since; of one that goes on changing the last.
func AsMadeNow(log *dataset.Log, column string, entries []Entry) []float64 {
	values, when := log.Floats(column), log.Floats("opened")
	n := log.Products()
	sum, count, last, since := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i, v := range values {
		if k := log.Product(i); when != nil && when[i] > last[k] && !math.IsNaN(v) {
			last[k] = when[i]
		}
	}
	for i, v := range values {
		k := log.Product(i)
		if since[k] == 0 { // not asked yet
			since[k] = min(last[k], Since(entries, log.NameOf(i), column, last[k]))
		}
		if !math.IsNaN(v) && (when == nil || !(when[i] < since[k])) {
			sum[k], count[k] = sum[k]+v, count[k]+1
		}
	}
	for k := range sum {
		sum[k] /= count[k] // NaN of none
	}
	return sum
}

// Since is the decimal year from which on a product is made as it is now in a
// measure, as far as the changes of its maker and its own tell: that of the last
// step, moving where it goes on changing, -Inf where nothing changed.
func Since(entries []Entry, p dataset.Label, column string, moving float64) float64 {
	since := math.Inf(-1)
	for _, e := range entries {
		if e.Maker != p.Maker || e.Part != "" && e.Part != p.Part || !e.Moved() || !e.Concerns(column) {
			continue
		}
		from := moving
		if e.Told.Shape == AsStep {
			from = Year(e.Told.From)
		}
		since = max(since, from)
	}
	return since
}
