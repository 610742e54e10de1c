package changes

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/drift"
)

// LimitsInDetail writes, for each measure, how small a change would have been found and
// where there are too few openings. It returns false if there is nothing to write.
func LimitsInDetail(t *wording.Text, entries []drift.Entry, u dataset.Units) bool {
	var seen, few []string
	for _, measure := range measuresOf(entries) {
		low, high, makers := math.Inf(1), math.Inf(-1), 0
		var sample drift.Entry
		var lacking, alone, more, never []string
		for _, e := range entries {
			switch {
			case e.Measure != measure || e.Part != "":
			case e.Verdict == drift.TooFew && e.Relative && e.Needed <= e.N:
				alone = append(alone, wording.Short(e.Maker))
			case e.Verdict == drift.TooFew:
				lacking = append(lacking, fmt.Sprintf("%s (%s)", wording.Short(e.Maker), haveNeed(e)))
			case e.Verdict == drift.Steady && e.Detectable > 0:
				low, high, makers = min(low, e.Detectable), max(high, e.Detectable), makers+1
				sample = e
				switch {
				case e.MoreOpenings > 0:
					more = append(more, wording.Counted(e.MoreOpenings, "more opening", "more openings")+" of "+wording.Short(e.Maker))
				case e.MoreOpenings < 0:
					never = append(never, wording.Short(e.Maker))
				}
			}
		}
		if makers > 0 {
			seen = append(seen, fmt.Sprintf("%s: %s (%s).%s", catalogue.Words(measure),
				span(yearly(sample, u, low, low), yearly(sample, u, high, low)), wording.Counted(makers, "maker", "makers"),
				moreOpenings(measure, more, never, u)))
		}
		if len(lacking) > 0 {
			few = append(few, catalogue.Words(measure)+": "+wording.Joined(wording.Cut(lacking, wording.FewListed))+".")
		}
		if len(alone) > 0 {
			few = append(few, catalogue.Words(measure)+": too few parts of other makers were opened again to compare with, for "+wording.Joined(wording.Cut(alone, wording.FewListed))+".")
		}
	}
	if len(seen) > 0 {
		t.Para("Small changes over the years. In the makers found steady, a change of this much a year would have been found four times in five, the first figure for the maker that is known best and the second for the one known least; a smaller one may well have gone unseen:")
		for _, s := range seen {
			t.Item(s)
		}
	}
	if len(few) > 0 {
		t.Para("Too few openings of the same parts to say anything about changes over the years:")
		for _, s := range few {
			t.Item(s)
		}
	}
	return len(seen)+len(few) > 0
}

// moreOpenings returns a sentence on how many more openings, with dates spread like
// those so far, would find a change worth finding, and for which makers no number of
// them would; "" if neither list names anybody.
func moreOpenings(measure string, more, never []string, u dataset.Units) string {
	change, share := drift.WorthFinding(measure)
	amount := wording.Signless(u, measure, change, 5*change) // one significant digit: the change is a round number
	if share {
		amount = wording.Percent(change)
	}
	var phrases []string
	if len(more) > 0 {
		phrases = append(phrases, wording.Joined(wording.Cut(more, wording.FewListed)))
	}
	if len(never) > 0 {
		phrases = append(phrases, "of "+wording.Joined(wording.Cut(never, wording.FewListed))+" more openings alone will not do")
	}
	if len(phrases) == 0 {
		return ""
	}
	return " To find " + amount + " a year: " + strings.Join(phrases, "; ") + "."
}

func span(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}

func haveNeed(e drift.Entry) string {
	if e.Needed > e.N {
		return fmt.Sprintf("has %d, needs %d", e.N, e.Needed)
	}
	return fmt.Sprintf("%s, but of too few parts more than once", wording.Counted(e.N, "opening", "openings"))
}

// Limits writes in which measures a change worth reporting would have been found, in
// which it could have been missed, and which makers have too few openings. It returns
// false if there is nothing to write.
func Limits(t *wording.Text, entries []drift.Entry, u dataset.Units) bool {
	all, unseen, needs := "All", []string{}, []string{}
	var seen, few []drift.Entry
	for _, e := range entries {
		switch {
		case e.Part != "":
		case e.Verdict == drift.TooFew:
			few = append(few, e)
			needs = append(needs, wording.Short(e.Maker)+", "+catalogue.Words(e.Measure)+", "+haveNeed(e))
		case e.Moved():
			all = "All else"
		case e.MoreOpenings == 0:
			seen = append(seen, e)
		default:
			unseen = append(unseen, wording.Short(e.Maker)+", "+catalogue.Words(e.Measure))
		}
	}
	if len(seen) > 0 {
		whose := "the makers"
		if makers := makersOf(entries); len(makers) == 1 {
			whose = wording.Short(makers[0]) + "'s filters"
		}
		// "Most likely": a change worth finding is found four times in five.
		t.Para(all + " followed of " + whose + " held steady: a change worth telling would most likely have been seen.")
		worth, _ := drift.WorthFinding("can_gauge")
		gauge := SizeOf("can_gauge", false, worth, u)
		t.Evidence(makersAndMeasures(seen) + "; worth telling, a year: " + gauge + " of can gauge, one pleat, 2" + wording.NBSP + "% of a mass, length or area, 5" + wording.NBSP + "% of a price")
	}
	if len(unseen) > 0 {
		t.Para("No change shown, though one worth telling could have been missed.")
		t.Evidence(strings.Join(wording.Cut(unseen, wording.FewListed), "; "))
	}
	if len(few) > 0 {
		t.Para("Too few openings of the same parts to tell of changes: " + makersAndMeasures(few) + ".")
		t.Evidence(strings.Join(wording.Cut(needs, wording.FewListed), "; "))
	}
	return len(seen)+len(unseen)+len(few) > 0
}

// makersAndMeasures returns the numbers of makers and of measures in the entries.
func makersAndMeasures(entries []drift.Entry) string {
	makers := wording.Counted(len(makersOf(entries)), "maker", "makers")
	return makers + ", " + wording.Counted(len(measuresOf(entries)), "measure", "measures")
}
