package render

import (
	"fmt"

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
	if len(f.Judged) > 0 && f.Judged[0].Needed > 0 { // then it is so of all
		t.Item(fmt.Sprintf("Price against everything inside: too few to say: it needs at least %d products with a price and a media area; there %s %d.",
			f.Judged[0].Needed, plural(len(f.Judged), "is", "are"), len(f.Judged)))
		said = true
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
