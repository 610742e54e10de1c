package findings

import (
	"fmt"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/prices"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// onSide writes the parts whose prices lie on one side of the usual, and reports whether
// there are any.
func onSide(t *wording.Text, f *report.Findings, direction string, detail bool) bool {
	judged := f.Usable >= price.LeastProducts
	found := len(prices.WithGrade(f.Verdicts, direction, trend.Clear, trend.Probable, trend.Hint)) > 0
	if judged && !found || !judged && direction == price.Below {
		return found // that nothing can be judged is stated once, above
	}
	t.Heading(wording.UpperFirst(direction) + " what the contents usually cost")
	if !judged {
		t.Para(prices.NotJudged(f.Usable))
		prices.MostMedia(t, f.MostMedia, f.Units)
		return found
	}
	if s := prices.MoneySentence(f.MoneyOf); s != "" && direction == price.Above {
		t.Para(s)
		if f.RiseKnown {
			sentence, evidence := prices.RiseSentence(f.Rise)
			t.Para(sentence)
			t.Evidence(evidence)
		}
	}
	sure, hints := prices.WithGrade(f.Verdicts, direction, trend.Clear, trend.Probable), prices.WithGrade(f.Verdicts, direction, trend.Hint)
	if len(sure) == 0 {
		t.Para(fmt.Sprintf("Of the %s judged none is, clearly or probably.", wording.Counted(f.Usable, "part", "parts")))
	}
	say := func(v price.Verdict) {
		prices.Verdict(t, v, f.Units)
		if detail {
			t.Evidence("by media area " + wording.Level("q", v.ByArea.Q) + "; by everything inside " + wording.Level("q", v.ByInside.Q))
		}
	}
	wording.Listed(t, sure, wording.MaxListed, findingsJSON, say)
	hintsOfPrice(t, hints, f.Usable, f.Units)
	if detail {
		wording.Listed(t, hints, wording.MaxLooks, findingsJSON, say)
		wording.Listed(t, explained(f.Verdicts, direction), wording.MaxLooks, findingsJSON, say)
	}
	return found
}

// hintsOfPrice names in one sentence the prices that are off by no more than a hint:
// many of them are so by chance.
func hintsOfPrice(t *wording.Text, hints []price.Verdict, usable int, u dataset.Units) {
	if len(hints) == 0 {
		return
	}
	var names, figures []string
	for _, v := range hints {
		names = append(names, wording.Name(v.Maker, v.Part)+" ("+wording.Money(u, v.Price)+", usual "+wording.Money(u, v.Fair)+")")
		figures = append(figures, wording.Money(u, v.Low)+" to "+wording.Money(u, v.High)+", "+wording.Counted(v.N, "opening", "openings"))
	}
	t.Para(fmt.Sprintf("A hint only, and of %s chance alone gives about %s: %s.", wording.Counted(usable, "part", "parts"),
		wording.ExpectedByChance(usable, (1-trend.Confidence)/2), wording.Joined(wording.Cut(names, wording.MaxLooks))))
	t.Evidence("usual " + strings.Join(wording.Cut(figures, wording.MaxLooks), "; "))
}

// explained returns the verdicts that are off for the media area alone, but not for
// everything inside.
func explained(all []price.Verdict, direction string) []price.Verdict {
	side := map[string]int{price.Above: 1, price.Below: -1}[direction]
	var out []price.Verdict
	for _, v := range all {
		if v.Grade == trend.AsExpected && v.ByArea.Side() == side {
			out = append(out, v)
		}
	}
	return out
}
