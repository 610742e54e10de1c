package render

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/report"
	"pleatstat/stats/trend"
)

// maxNamed parts or makers are named in a line of the short form.
const maxNamed = 4

// maxMakers have a line each in the short form.
const maxMakers = 3

// InShort is what a log has to tell, the most newsworthy first, in at most seven
// lines: what costs clearly more, who changed, what costs clearly less, what the
// market charges, which readings look like slips. What could not be judged is
// said as that, never as none.
func InShort(f *report.Findings) []string {
	above, below := shortPrices(f.Verdicts, f.Usable, f.Units, price.Above), shortPrices(f.Verdicts, f.Usable, f.Units, price.Below)
	switch {
	case f.Usable < price.LeastProducts:
		above = NotJudged(f.Usable)
		if len(f.MostMedia) > 1 {
			m := f.MostMedia[0]
			above += fmt.Sprintf(" Of %s %s has the most media for the money.", counted(len(f.MostMedia), "filter", "filters"), Name(m.Maker, m.Part))
		}
	case above+below == "":
		above = noneOff(f.Usable)
	}
	changed := shortChanges(f.Drift, f.Units)
	if judgedChanges(f.Drift) == 0 {
		changed = []string{"Changes over the years could not be judged: no part was opened often enough at different dates."}
	}
	all := slices.Concat([]string{above}, changed, []string{below, shortMarket(f), shortSlips(f.Problems)})
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

// inShort writes the short form.
func inShort(t *Text, f *report.Findings) {
	t.Heading("In short")
	for _, s := range InShort(f) {
		t.Item(s)
	}
}

// news are the lines of the short form that say what was found.
func news(f *report.Findings) []string {
	all := slices.Concat([]string{shortPrices(f.Verdicts, f.Usable, f.Units, price.Above)}, shortChanges(f.Drift, f.Units),
		[]string{shortPrices(f.Verdicts, f.Usable, f.Units, price.Below), shortMarket(f)})
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

func noneOff(n int) string {
	return fmt.Sprintf("Of %s none costs clearly or probably more or less than its contents usually cost.", counted(n, "part", "parts"))
}

// shortPrices names the parts whose prices are off on one side, "" where none
// was judged to be.
func shortPrices(all []price.Verdict, usable int, u dataset.Units, direction string) string {
	if usable < price.LeastProducts {
		return ""
	}
	var said []string
	for _, g := range []trend.Grade{trend.Clear, trend.Probable} {
		var names []string
		for _, v := range withGrade(all, direction, g) {
			usual := ", about " + spokenMoney(u, v.Fair) + " is usual)"
			if len(names) > 0 { // once is enough
				usual = ", " + spokenMoney(u, v.Fair) + ")"
			}
			names = append(names, Name(v.Maker, v.Part)+" ("+spokenMoney(u, v.Price)+usual)
		}
		if len(names) > 0 {
			how := map[trend.Grade]string{trend.Clear: "clearly", trend.Probable: "probably"}[g]
			if len(said) == 0 {
				how += " " + direction + " what their contents usually cost"
			}
			said = append(said, how+": "+joined(cut(names, maxNamed)))
		}
	}
	return sentence(strings.Join(said, "; "))
}

// shortChanges tells the makers that changed by what is worth telling, a line each.
func shortChanges(entries []drift.Entry, u dataset.Units) []string {
	found := moved(entries)
	makers := slices.DeleteFunc(newsFirst(found), func(maker string) bool { return isTrifle(maker, found) })
	own := makers
	if len(makers) > maxMakers {
		own = makers[:maxMakers-1]
	}
	var out []string
	for _, maker := range own {
		out = append(out, shortChange(madeBy(maker, found)[0], u))
	}
	return append(out, alsoChanged(makers[len(own):])...)
}

// newsFirst lists the makers that changed, those first whose change is worth
// telling.
func newsFirst(found []drift.Entry) []string {
	makers := makersOf(found)
	last := func(maker string) int {
		if isTrifle(maker, found) {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(makers, func(a, b string) int { return cmp.Compare(last(a), last(b)) })
	return makers
}

// isTrifle says whether a maker's change is less than half of what is worth finding
// in a year.
func isTrifle(maker string, found []drift.Entry) bool { return worth(madeBy(maker, found)[0]) < 0.5 }

// alsoChanged names makers whose change is not told by itself.
func alsoChanged(makers []string) []string {
	if len(makers) == 0 {
		return nil
	}
	names := make([]string, len(makers))
	for i, maker := range makers {
		names[i] = short(maker)
	}
	return []string{"Also changed: " + joined(cut(names, maxNamed)) + "."}
}

// shortMarket is what twice the media area costs, "" where that is not known.
func shortMarket(f *report.Findings) string {
	for _, tr := range f.Trends {
		if tr.Response == "price" && tr.Related() {
			said, _ := trendSaid(tr, f.Units)
			return said
		}
	}
	return ""
}

// shortSlips says which lines to look at again.
func shortSlips(problems []dataset.Problem) string {
	var said []string
	for _, c := range []struct {
		severity  dataset.Severity
		one, many string
	}{{dataset.Doubtful, " reading looks like a slip", " readings look like slips"}, {dataset.Unusable, " entry can't be used", " entries can't be used"}} {
		all := bySeverity(problems, c.severity)
		if len(all) == 0 {
			continue
		}
		what := c.many
		if len(all) == 1 {
			what = c.one
		}
		if where := linesOf(all); where != "" {
			what += ": " + where
		}
		said = append(said, spelt(len(all))+what)
	}
	return sentence(strings.Join(said, "; "))
}

// linesOf are the lines of some problems, as they are said.
func linesOf(problems []dataset.Problem) string {
	var numbers []string
	for _, p := range problems {
		if n := strconv.Itoa(p.Line); p.Line > 0 && !slices.Contains(numbers, n) {
			numbers = append(numbers, n)
		}
	}
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return "line" + nbsp + numbers[0]
	}
	return "lines " + joined(cut(numbers, maxLooks))
}

// spelt is a number as it is written in a sentence: in words up to ten.
func spelt(n int) string {
	words := [...]string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n >= 0 && n < len(words) {
		return words[n]
	}
	return thousands(n)
}

// judgedChanges is the number of entries with enough openings.
func judgedChanges(entries []drift.Entry) int {
	n := 0
	for _, e := range entries {
		if e.Verdict != drift.TooFew {
			n++
		}
	}
	return n
}
