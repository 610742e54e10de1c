package drift

import (
	"math"

	"pleatstat/dataset"
)

// AsMadeNow returns the current value of a measure for each product, in base
// units, NaN where unknown: the mean of its readings; after a step of its maker
// or of the part, only of those since; if it is still changing, the latest
// reading.
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
		if since[k] == 0 { // not looked up yet
			since[k] = min(last[k], Since(entries, log.NameOf(i), column, last[k]))
		}
		if !math.IsNaN(v) && (when == nil || !(when[i] < since[k])) {
			sum[k], count[k] = sum[k]+v, count[k]+1
		}
	}
	for k := range sum {
		sum[k] /= count[k] // NaN for 0/0
	}
	return sum
}

// Since returns the decimal year from which a product has its current value of a
// measure, given the changes of its maker and its own: the date of the last step,
// `moving` where it is still changing, -Inf where nothing changed.
func Since(entries []Entry, p dataset.Label, column string, moving float64) float64 {
	since := math.Inf(-1)
	for _, e := range entries {
		if !e.Covers(p) || !e.Moved() || !e.Concerns(column) {
			continue
		}
		from := moving
		if e.Statement.Shape == AsStep {
			from = Year(e.Statement.From)
		}
		since = max(since, from)
	}
	return since
}
