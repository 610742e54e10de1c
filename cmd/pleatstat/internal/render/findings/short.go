package findings

import (
	"fmt"
	"slices"

	"pleatstat/cmd/pleatstat/internal/render/changes"
	"pleatstat/cmd/pleatstat/internal/render/logs"
	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/trends"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
)

// InShort returns the findings in at most seven lines, the most newsworthy first: what
// costs clearly more, who changed, what costs clearly less, what the market charges,
// which readings look like slips. What could not be judged is reported as such, never
// as not found.
func InShort(f *report.Findings) []string {
	above, below := prices.InShort(f.Verdicts, f.Usable, f.Units, price.Above), prices.InShort(f.Verdicts, f.Usable, f.Units, price.Below)
	switch {
	case f.Usable < price.LeastProducts:
		above = prices.NotJudged(f.Usable)
		if len(f.MostMedia) > 1 {
			m := f.MostMedia[0]
			above += fmt.Sprintf(" Of %s %s has the most media for the money.", wording.Counted(len(f.MostMedia), "filter", "filters"), wording.Name(m.Maker, m.Part))
		}
	case above+below == "":
		above = prices.NoneOff(f.Usable)
	}
	changed := changes.InShort(f.Drift, f.Units)
	if changes.Judged(f.Drift) == 0 {
		changed = []string{"Changes over the years could not be judged: no part was opened often enough at different dates."}
	}
	all := slices.Concat([]string{above}, changed, []string{below, shortMarket(f), logs.SlipsInShort(f.Problems)})
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

// inShort writes the short form.
func inShort(t *wording.Text, f *report.Findings) {
	t.Heading("In short")
	for _, s := range InShort(f) {
		t.Item(s)
	}
}

// news returns the lines of the short form that report a finding.
func news(f *report.Findings) []string {
	all := slices.Concat([]string{prices.InShort(f.Verdicts, f.Usable, f.Units, price.Above)}, changes.InShort(f.Drift, f.Units),
		[]string{prices.InShort(f.Verdicts, f.Usable, f.Units, price.Below), shortMarket(f)})
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

// shortMarket returns a sentence on what the market charges, "" if no trend of prices
// shows a relation.
func shortMarket(f *report.Findings) string {
	for _, tr := range f.Trends {
		if tr.Response == "price" && tr.Related() {
			sentence, _ := trends.Sentence(tr, f.Units)
			return sentence
		}
	}
	return ""
}
