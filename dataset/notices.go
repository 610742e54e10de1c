package dataset

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/problem"
)

// maxNamed is the number of dates or filters that a notice names; further ones
// are counted.
const maxNamed = 3

// Notices returns the sentences to print above every result of this log, where
// the result would otherwise mislead: openings left out by Where, columns of
// formulas without stored values, dates set aside, and filters that count once
// under several labels.
func (l *Log) Notices() []string {
	var out []string
	if len(l.selection.Conditions) > 0 {
		out = append(out, l.selection.sentence(l.Rows()))
	}
	if l.lost != nil {
		column, holds := "Columns", "hold"
		if len(l.lost) == 1 {
			column, holds = "Column", "holds"
		}
		out = append(out, fmt.Sprintf("%s %s %s only formulas whose values the workbook does not store, and count as blank: open it in the spreadsheet program, let it recalculate and save it.", column, problem.List(problem.Quoted(l.lost)), holds))
	}
	if c := l.byName["opened"]; c != nil && c.Aside != nil {
		out = append(out, l.datesAside(c))
	}
	if twins := l.Twins(); twins != nil {
		out = append(out, twinsCount(twins))
	}
	return out
}

// twinsCount returns the notice about filters that appear in the log under
// several labels.
func twinsCount(twins [][]Label) string {
	var named []string
	for _, labels := range twins[:min(len(twins), maxNamed)] {
		names := make([]string, len(labels))
		for i, l := range labels {
			names[i] = l.String()
		}
		named = append(named, problem.List(names))
	}
	if more := len(twins) - len(named); more > 0 {
		named = append(named, fmt.Sprintf("%d more", more))
	}
	return "Count once, as one filter under several labels (same_as, made_by): " + strings.Join(named, "; ") + ". Changes over the years are followed under each label."
}

// datesAside returns the notice about dates that were set aside, with the
// reason for each.
func (l *Log) datesAside(c *cells.Column) string {
	last := math.Inf(-1)
	for _, at := range c.Values() {
		if at > last { // never for NaN
			last = at
		}
	}
	var named []string
	for _, row := range c.Aside[:min(len(c.Aside), maxNamed)] {
		why := "decades before all others"
		if c.Num[row] > last {
			why = "after today"
		}
		named = append(named, fmt.Sprintf("%s in line %d (%s)", FormatOpened(c.Num[row], c.PrecisionOf(int(row))), l.Line(int(row)), why))
	}
	if more := len(c.Aside) - len(named); more > 0 {
		named = append(named, fmt.Sprintf("%d more", more))
	}
	if len(c.Aside) == 1 {
		return "Left out of everything that goes by date, since it cannot be right: " + named[0] + "."
	}
	return "Left out of everything that goes by date, since they cannot be right: " + problem.List(named) + "."
}
