package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// driftLimits says what drift could not have seen; false where it had nothing
// to say.
func driftLimits(t *Text, entries []drift.Entry, u dataset.Units) bool {
	var seen, few []string
	for _, measure := range measuresOf(entries) {
		low, high, makers := math.Inf(1), math.Inf(-1), 0
		var sample drift.Entry
		var lacking, alone, more, never []string
		for _, e := range entries {
			switch {
			case e.Measure != measure || e.Part != "":
			case e.Verdict == drift.TooFew && e.Relative && e.Needed <= e.N:
				alone = append(alone, short(e.Maker))
			case e.Verdict == drift.TooFew:
				lacking = append(lacking, fmt.Sprintf("%s (%s)", short(e.Maker), haveNeed(e)))
			case e.Verdict == drift.Steady && e.Detectable > 0:
				low, high, makers = min(low, e.Detectable), max(high, e.Detectable), makers+1
				sample = e
				switch {
				case e.MoreOpenings > 0:
					more = append(more, counted(e.MoreOpenings, "more opening", "more openings")+" of "+short(e.Maker))
				case e.MoreOpenings < 0:
					never = append(never, short(e.Maker))
				}
			}
		}
		if makers > 0 {
			seen = append(seen, fmt.Sprintf("%s: %s (%s).%s", dataset.Words(measure),
				span(yearly(sample, u, low, low), yearly(sample, u, high, low)), counted(makers, "maker", "makers"),
				moreOpenings(measure, more, never, u)))
		}
		if len(lacking) > 0 {
			few = append(few, dataset.Words(measure)+": "+joined(cut(lacking, fewListed))+".")
		}
		if len(alone) > 0 {
			few = append(few, dataset.Words(measure)+": too few parts of other makers were opened again to compare with, for "+joined(cut(alone, fewListed))+".")
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

// moreOpenings says how many more openings, dated like those so far, would find
// a change worth finding, and whose no number of them would; "" where those so
// far do.
func moreOpenings(measure string, more, never []string, u dataset.Units) string {
	change, share := drift.WorthFinding(measure)
	amount := signless(u, measure, change, 5*change) // a round number, told as one
	if share {
		amount = percent(change)
	}
	var said []string
	if len(more) > 0 {
		said = append(said, joined(cut(more, fewListed)))
	}
	if len(never) > 0 {
		said = append(said, "of "+joined(cut(never, fewListed))+" more openings alone will not do")
	}
	if len(said) == 0 {
		return ""
	}
	return " To find " + amount + " a year: " + strings.Join(said, "; ") + "."
}

// fewListed is the number of makers named as having too little of one measure.
const fewListed = 6

func span(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}

// cut keeps the first most words and counts the rest.
func cut(words []string, most int) []string {
	if len(words) <= most {
		return words
	}
	return append(slices.Clone(words[:most]), fmt.Sprintf("%d more", len(words)-most))
}

func haveNeed(e drift.Entry) string {
	if e.Needed > e.N {
		return fmt.Sprintf("has %d, needs %d", e.N, e.Needed)
	}
	return fmt.Sprintf("%s, but of too few parts more than once", counted(e.N, "opening", "openings"))
}
