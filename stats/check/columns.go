package check

import (
	"fmt"
	"math"

	"pleatstat/dataset"
	"pleatstat/stats/num"
	"pleatstat/stats/slip"
)

const (
	// ColumnOff and ColumnFits are in spreads of the measure's usual range: a
	// whole column is doubted when its median lies ColumnOff from the usual
	// middle, and a wrong unit or factor is blamed when it brings the median
	// within ColumnFits.
	ColumnOff  = 5.0
	ColumnFits = 2.0
)

// wholeColumns reports columns that are off as a whole, as when the header names
// the wrong unit, and corrects them in the working copy, so that the rows are not
// reported one by one.
func wholeColumns(t *table, f *findings) {
	sample := t.sample()
	for _, m := range t.have {
		u := m.facts().Usual
		if u.Spread == 0 {
			continue
		}
		var logs []float64
		for _, i := range sample {
			if v := t.value[m][i]; v > 0 {
				logs = append(logs, math.Log(v))
			}
		}
		if len(logs) < enough {
			continue
		}
		off := (num.Median(logs) - math.Log(u.Middle)) / u.Spread
		if math.Abs(off) < ColumnOff {
			continue
		}
		unit := t.log.Units().Of(m.column()).Symbol
		for _, c := range slip.Of(m.kind(), unit) {
			if math.Abs(off+math.Log(c.Factor)/u.Spread) > ColumnFits {
				continue
			}
			header, number := t.log.Header(m.column())
			message := fmt.Sprintf("the whole column is far from what such parts have (middle %s)", t.show(m, math.Exp(num.Median(logs))))
			if c.Unit != "" {
				message += fmt.Sprintf("; are the values in %s? Then the header should say so", c.Unit)
			}
			f.problems = append(f.problems, dataset.Problem{
				File: f.log.File(), Column: number, Name: m.column(), Text: header, Message: message, Severity: dataset.Doubtful,
			})
			for i := range t.value[m] {
				t.value[m][i] *= c.Factor
			}
			break
		}
	}
}

// nothings reports readings of zero or less, which are impossible, and removes
// them from the working copy. Measures that may be zero (a price of a gift, a gap
// in the glue) are reported only below zero.
func nothings(t *table, f *findings) {
	for _, m := range t.have {
		zero := m.facts().MayBeZero
		for i, v := range t.value[m] {
			switch {
			case !(v <= 0):
				continue
			case v == 0 && zero:
			case zero:
				f.at(i, m.column(), dataset.Doubtful, "less than nothing, which no filter has")
				f.aside(i, m.column())
			default:
				f.at(i, m.column(), dataset.Doubtful, "zero or less, which no filter has")
				f.aside(i, m.column())
			}
			t.value[m][i] = math.NaN() // has no logarithm
		}
	}
}
