package findings

import (
	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/report"
)

// cannotSay says what the data is too little for, and what would have been seen.
func cannotSay(t *wording.Text, f *report.Findings, detail bool) {
	t.Heading("What the data cannot say")
	said := false
	for _, tr := range f.Trends {
		if tr.TooFew {
			t.Item(trends.Title(tr) + ": " + trends.TooFew(tr))
			said = true
		}
	}
	for _, w := range f.PriceWarnings {
		t.Item(wording.Sentence(w))
		said = true
	}
	switch {
	case changes.Judged(f.Drift) == 0:
		t.Item("Changes over the years: too few to say, as no part was opened often enough at different dates.")
		said = true
	case detail:
		said = changes.LimitsInDetail(t, f.Drift, f.Units) || said
	default:
		said = changes.Limits(t, f.Drift, f.Units) || said
	}
	if !said {
		t.Para("Nothing that was asked: every trend and every maker had enough openings.")
	}
}
