package render

import (
	"pleatstat/stats/report"
)

// cannotSay says what the data is too little for, and what would have been seen.
func cannotSay(t *Text, f *report.Findings, detail bool) {
	t.Heading("What the data cannot say")
	said := false
	for _, tr := range f.Trends {
		if tr.TooFew {
			t.Item(trendTitle(tr) + ": " + tooFewSentence(tr))
			said = true
		}
	}
	for _, w := range f.PriceWarnings {
		t.Item(sentence(w))
		said = true
	}
	switch {
	case judgedChanges(f.Drift) == 0:
		t.Item("Changes over the years: too few to say, as no part was opened often enough at different dates.")
		said = true
	case detail:
		said = driftLimits(t, f.Drift, f.Units) || said
	default:
		said = changeLimits(t, f.Drift, f.Units) || said
	}
	if !said {
		t.Para("Nothing that was asked: every trend and every maker had enough openings.")
	}
}
