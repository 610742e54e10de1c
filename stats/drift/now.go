package drift

import (
	"math"
	"slices"

	"pleatstat/dataset"
)

// AsMadeNow is what each product has of a measure as it is made now, base units, NaN
// where unknown: the mean of its readings, after a step of its maker or its own those
// since; of one that goes on changing the last.
func AsMadeNow(log *dataset.Log, column string, entries []Entry) []float64 {
	values, when := log.Floats(column), log.Floats("opened")
	sum, n, last := make([]float64, log.Products()), make([]float64, log.Products()), make([]float64, log.Products())
	found := slices.DeleteFunc(slices.Clone(entries), func(e Entry) bool { return !e.Moved() || !e.Concerns(column) })
	for pass := range 2 {
		for i, v := range values {
			k := log.Product(i)
			switch {
			case math.IsNaN(v):
			case pass == 0 && when != nil && when[i] > last[k]:
				last[k] = when[i]
			case pass == 1 && (when == nil || !(when[i] < changedSince(found, log.NameOf(i), last[k]))):
				sum[k], n[k] = sum[k]+v, n[k]+1
			}
		}
	}
	for k := range sum {
		sum[k] /= n[k] // NaN of none
	}
	return sum
}

// changedSince is the decimal year of the last step of a product, that of its last
// reading where it goes on changing, 0 for neither.
func changedSince(found []Entry, p dataset.Label, last float64) float64 {
	since := 0.0
	for _, e := range found {
		switch {
		case e.Maker != p.Maker || e.Part != "" && e.Part != p.Part:
		case e.Told.Shape == AsStep:
			since = max(since, min(last, Year(e.Told.From)))
		default:
			since = last
		}
	}
	return since
}
