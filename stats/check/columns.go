package check

import (
	"fmt"
	"math"

	"pleatstat/dataset"
	"pleatstat/stats/num"
)

const (
	// columnOff: a whole column is doubted when its middle lies this many of
	// the spreads of such parts away, and believed when a factor brings it
	// within columnFits.
	columnOff  = 5.0
	columnFits = 2.0
)

// wholeColumns reports columns that are off as a whole, as when the header
// names the wrong unit, and puts them right in the working copy, so that the
// rows are not reported one by one.
func wholeColumns(t *table, f *findings) {
	sample := t.sample()
	for _, u := range usuals {
		if u.prior == 0 || t.value[u.m] == nil {
			continue
		}
		var logs []float64
		for _, i := range sample {
			if v := t.value[u.m][i]; v > 0 {
				logs = append(logs, math.Log(v))
			}
		}
		if len(logs) < enough {
			continue
		}
		off := (num.Median(logs) - math.Log(u.middle)) / u.prior
		if math.Abs(off) < columnOff {
			continue
		}
		unit := t.log.Units().Of(u.m.column()).Symbol
		for _, c := range factors(u.m, unit) {
			if math.Abs(off+math.Log(c.factor)/u.prior) > columnFits {
				continue
			}
			header, number := t.log.Header(u.m.column())
			message := fmt.Sprintf("the whole column is far from what such parts have (middle %s)", t.show(u.m, math.Exp(num.Median(logs))))
			if c.unit != "" {
				message += fmt.Sprintf("; are the values in %s? Then the header should say so", c.unit)
			}
			f.problems = append(f.problems, dataset.Problem{
				File: f.log.File(), Column: number, Name: u.m.column(), Text: header, Message: message, Severity: dataset.Doubtful,
			})
			for i := range t.value[u.m] {
				t.value[u.m][i] *= c.factor
			}
			break
		}
	}
}

// nothings reports readings of zero or less, which no part of a filter has, and
// takes them out of the working copy. A price of nothing is a gift.
func nothings(t *table, f *findings) {
	for m := range measures {
		for i, v := range t.value[m] {
			if !(v <= 0) {
				continue
			}
			t.value[m][i] = math.NaN()
			if m == price && v == 0 {
				continue
			}
			f.at(i, m.column(), dataset.Doubtful, "zero or less, which no filter has")
			f.aside(i, m.column())
		}
	}
}
