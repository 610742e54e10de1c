package programme

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/roundup"
)

// recordWords are the words for the highest and the lowest value of a measure.
var recordWords = map[string][2]string{
	"price":          {"the highest price", "the lowest price"},
	"price_per_area": {"the dearest media", "the cheapest media"},
	"can_gauge":      {"the thickest can", "the thinnest can"},
	"media_area":     {"the most media", "the least media"},
	"pleats":         {"the most pleats", "the fewest pleats"},
	"pleat_depth":    {"the deepest pleats", "the shallowest pleats"},
	"total_mass":     {"the highest mass", "the lowest mass"},
}

// records returns sentences on the records of the year. Earlier prices are stated in
// today's money.
func (s speaker) records() []string {
	var points []string
	for _, r := range s.r.Records[:min(len(s.r.Records), maxMore)] {
		end := 1
		if r.Highest {
			end = 0
		}
		old, money := r.OldValue, ""
		if slices.Contains(catalogue.Inputs(r.Measure), "price") {
			old, money = r.Value/(1+r.Margin), " in today's money"
		}
		points = append(points, fmt.Sprintf("%s has %s of the log so far: %s, after %s%s of %s in %d.", wording.Name(r.Maker, r.Part), recordWords[r.Measure][end],
			wording.Quantity(s.u, r.Measure, r.Value), wording.Quantity(s.u, r.Measure, old), money, wording.Name(r.OldMaker, r.OldPart), r.OldYear))
	}
	if more := len(s.r.Records) - len(points); more > 0 {
		points = append(points, fmt.Sprintf("The table has %s more.", wording.Spelt(more)))
	}
	return points
}

// gaps returns sentences on what was measured too seldom. Of the comparisons with
// earlier years that lack openings only one is mentioned; the table has all.
func (s speaker) gaps() []string {
	var few, seldom []string
	again, unsure := "", ""
	for _, g := range s.r.Gaps {
		short := fmt.Sprintf("%s (%d, %d would do)", measureOf(g), g.Have, g.Need)
		switch g.Subject {
		case roundup.GapRanking:
			few = append(few, short)
		case roundup.GapMeasured:
			seldom = append(seldom, short)
		case roundup.GapSure:
			unsure = fmt.Sprintf("How sure every place is can't be said yet: parts were opened again %s, %d would do.", wording.Counted(g.Have, "time", "times"), g.Need)
		case roundup.GapShift:
			if _, judged := s.notCovered(Shifts); g.Detail == roundup.OpenedAgain && !judged && again == "" {
				again = fmt.Sprintf("Too few parts opened again to tell what changed since last year (%d, %d would do).", g.Have, g.Need)
			}
		}
	}
	var points []string
	for _, p := range []struct {
		says  string
		named []string
	}{
		{"Too few filters to rank by ", few},
		{"Measured in fewer than half of the year's filters: ", seldom},
	} {
		if len(p.named) > 0 {
			points = append(points, p.says+wording.Joined(wording.Cut(p.named, wording.FewListed))+".")
		}
	}
	return slices.DeleteFunc(append(points, again, unsure), func(s string) bool { return s == "" })
}

// gapWords names what could not be stated.
func gapWords(g roundup.Gap) string {
	switch g.Subject {
	case roundup.GapRanking:
		return "places"
	case roundup.GapSure:
		return "how sure the places are"
	case roundup.GapMeasured:
		return "measured in fewer than half of the year's openings"
	}
	switch g.Detail {
	case roundup.OpenedAgain:
		return "change in the parts opened again"
	case roundup.SameProducts:
		return "change in the parts opened in both years"
	case roundup.AllSizes:
		return "change over all parts"
	}
	return "change in the " + g.Detail + " sizes"
}

func measureOf(g roundup.Gap) string {
	if g.Subject == roundup.GapRanking || g.Subject == roundup.GapSure {
		return WordsOfRanking(g.Measure).what
	}
	return catalogue.Words(g.Measure)
}

// next returns sentences on what to open again and why, the most informative part first.
func (s speaker) next() []string {
	about := func(c roundup.Candidate) string {
		if c.PriceGain > c.DriftGain {
			return "what the market charges"
		}
		return wording.Short(c.Maker) + "'s cans"
	}
	var points, after []string
	for i, c := range s.r.Next {
		if name := wording.Name(c.Maker, c.Part); i == 0 {
			points = append(points, fmt.Sprintf("Reopen %s: we'd learn most about %s.", name, about(c)))
		} else {
			after = append(after, name)
		}
	}
	if len(after) > 0 {
		points = append(points, "After it come "+wording.Joined(after)+".")
	}
	return points
}

// moved returns a signed amount: "+3.4 %", "−0.020 mm". half is half the width of its
// range.
func (s speaker) moved(column string, relative bool, v, half float64) string {
	text := ""
	if relative {
		text = wording.Fixed(100*math.Abs(v), min(1, wording.DecimalsFor(100*half))) + wording.NBSP + "%"
	} else {
		most := s.u.Of(column).Decimals + 1
		if half == 0 || wording.Counts(column) && half == math.Trunc(half) {
			most--
		}
		text = wording.Precise(s.u, column, math.Abs(v), min(wording.DecimalsFor(half*s.u.Of(column).PerBase), most))
	}
	if !strings.ContainsAny(text, "123456789") {
		return text
	}
	return wording.Signed(v, text)
}

// shareOf returns a share in per cent, with one decimal below ten.
func shareOf(v float64) string {
	decimals := 0
	if v < 0.0995 {
		decimals = 1
	}
	return wording.Fixed(100*v, decimals) + wording.NBSP + "%"
}
