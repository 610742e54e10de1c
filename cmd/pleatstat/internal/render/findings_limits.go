package render

import (
	"pleatstat/stats/report"
)

// cannotSay says what the data is too little for.
func cannotSay(t *Text, f *report.Findings) {
	t.Heading("What the data cannot say")
	said := false
	for _, tr := range f.Trends {
		if tr.TooFew {
			t.trendItem(tr, f.Units)
			said = true
		}
	}
	for _, w := range f.PriceWarnings {
		t.Item(sentence(w))
		said = true
	}
	if driftLimits(t, f.Drift, f.Units) {
		said = true
	}
	if !said {
		t.Para("Nothing that was asked: every trend and every maker had enough openings.")
	}
}
