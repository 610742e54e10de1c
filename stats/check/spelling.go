package check

import (
	"fmt"

	"pleatstat/dataset"
	"pleatstat/stats/slip"
)

// spellings reports makers and parts spelt in two ways, once per variant, and
// suggests the common spelling for every line.
func spellings(log *dataset.Log, f *findings) {
	for _, s := range dataset.Spellings(log) {
		_, column := log.Header(s.Column)
		for _, v := range s.Variants {
			severity := dataset.Note
			if v.Sure {
				severity = dataset.Doubtful
			}
			message := fmt.Sprintf("spelt %q in %s and %q in %s: %s", v.Text, lines(len(v.Lines)), s.Common, lines(s.Openings), v.Why)
			f.problems = append(f.problems, dataset.Problem{
				File: log.File(), Line: v.Lines[0], Column: column, Name: s.Column, Text: v.Text,
				Message: message, Severity: severity,
			})
			for _, line := range v.Lines {
				f.suggestions = append(f.suggestions, Suggestion{
					File: log.File(), Line: line, Column: column, Name: s.Column, Found: v.Text, Intended: s.Common,
					Why: v.Why, Kind: slip.Spelling, Sure: v.Sure,
				})
			}
		}
	}
}

func lines(n int) string {
	if n == 1 {
		return "one line"
	}
	return fmt.Sprintf("%d lines", n)
}
