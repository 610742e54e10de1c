package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

// makers tells one table of makers.
func (s speaker) makers(t roundup.MakerTable) []string {
	what := fmt.Sprintf("%s against what the %s predicts", trend.Words(t.Measure), trend.Words(t.Against))
	if t.TooFew {
		have := ""
		if t.Products > 0 {
			have = "; there " + plural(t.Products, "is ", "are ") + counted(t.Products, "product", "products")
		}
		return []string{fmt.Sprintf("%s: too few to say (%s would do%s).", capital(what), t.Needed, have)}
	}
	var off []string
	for _, r := range t.Rows {
		switch {
		case r.Side > 0:
			off = append(off, short(r.Maker)+" above ("+s.maker(t, r)+")")
		case r.Side < 0:
			off = append(off, short(r.Maker)+" below ("+s.maker(t, r)+")")
		}
	}
	var points []string
	open := "open"
	if t.P <= trend.ByChance {
		open = "hardly in doubt"
	}
	if len(off) == 0 {
		points = append(points, fmt.Sprintf("%s: no maker is surely off the line (%s, %s; whether they differ at all is %s, %s).", capital(what),
			counted(len(t.Rows), "maker", "makers"), counted(t.Products, "part", "parts"), open, level("p", t.P)))
	} else {
		points = append(points, fmt.Sprintf("%s: off the line %s %s.", capital(what), plural(len(off), "is", "are"), joined(off)))
	}
	first, last := t.Rows[0], t.Rows[len(t.Rows)-1]
	points = append(points, fmt.Sprintf("Highest stands %s (%s), lowest %s (%s).", short(first.Maker), s.maker(t, first), short(last.Maker), s.maker(t, last)))
	low, high := math.Inf(1), 0.0
	for _, r := range t.Rows {
		low, high = math.Min(low, r.Weight), math.Max(high, r.Weight)
	}
	beyond := "the makers by " + s.size(t, t.Between) + " beyond that"
	if t.Between == 0 {
		beyond = "the makers by no more than that explains"
	}
	count := percent(low)
	if high := percent(high); high != count {
		count += " to " + high
	}
	middle := s.moved(t.Measure, t.Relative, t.Mean, (first.High-first.Low)/2)
	return append(points, fmt.Sprintf("Zero is the line through the bulk of the openings; the middle of the makers, where every part counts, lies at %s. The less is known of a maker and the less makers differ, the further it is moved towards the middle (of each value %s is the maker's own; parts of one maker differ by %s, %s).",
		middle, count, s.size(t, t.Within), beyond))
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// maker says where a maker stands, its own mean and its range.
func (s speaker) maker(t roundup.MakerTable, r roundup.MakerRow) string {
	half := (r.High - r.Low) / 2
	return fmt.Sprintf("%s, %s; own mean %s over %s", s.moved(t.Measure, t.Relative, r.Pooled, half), s.movedRange(t.Measure, t.Relative, r.Low, r.High),
		s.moved(t.Measure, t.Relative, r.Own, half), counted(r.Products, "part", "parts"))
}

// size says a standard deviation of the makers' table.
func (s speaker) size(t roundup.MakerTable, sd float64) string {
	if t.Relative {
		return fixed(100*math.Expm1(sd), 0) + nbsp + "%"
	}
	return precise(s.u, t.Measure, sd, s.u.Of(t.Measure).Decimals+1)
}

// records tells what fell this year.
func (s speaker) records() []string {
	if s.r.NoRecord != "" {
		return []string{fmt.Sprintf("None can be told: %s (%s before this year).", s.r.NoRecord, counted(s.r.Opened.Total-s.r.Opened.Openings, "opening", "openings"))}
	}
	if len(s.r.Records) == 0 {
		return []string{fmt.Sprintf("No record of the log fell (%s of earlier years stand).", counted(s.r.Opened.Total-s.r.Opened.Openings, "opening", "openings"))}
	}
	var points []string
	for _, r := range s.r.Records {
		end := "lowest"
		if r.Highest {
			end = "highest"
		}
		text := fmt.Sprintf("%s has the %s %s of the log so far: %s, after %s of %s in %d (%s of earlier years", Name(r.Maker, r.Part), end, trend.Words(r.Measure),
			quantity(s.u, r.Measure, r.Value), quantity(s.u, r.Measure, r.OldValue), Name(r.OldMaker, r.OldPart), r.OldYear,
			counted(r.Earlier, "reading", "readings"))
		half := (r.Up - r.MarginLow) / 2
		switch {
		case math.IsNaN(r.MarginLow):
			text += "; how sure the margin is cannot be said)."
		case r.Beyond:
			text += fmt.Sprintf("; margin %s, %s).", s.moved(r.Measure, r.Relative, r.Margin, half), s.movedRange(r.Measure, r.Relative, r.MarginLow, r.Up))
		default:
			text += fmt.Sprintf("; by the reading only, as the margin of %s lies within what openings of one part differ by, %s).",
				s.moved(r.Measure, r.Relative, r.Margin, half), s.movedRange(r.Measure, r.Relative, r.MarginLow, r.Up))
		}
		points = append(points, text)
	}
	if slices.ContainsFunc(s.r.Records, func(r roundup.Record) bool { return r.Highest && r.Measure == "price" }) {
		points = append(points, "Where prices rise every year a highest price is no surprise (the rise stands among the changes since last year).")
	}
	return points
}

// gaps tells what cannot be judged yet and what would do; what lacks the same
// openings is told together.
func (s speaker) gaps() []string {
	if len(s.r.Gaps) == 0 {
		return []string{fmt.Sprintf("Nothing that was asked: every question had enough openings (%d this year).", s.r.Opened.Openings)}
	}
	var points []string
	for i, g := range s.r.Gaps {
		same := func(o roundup.Gap) bool {
			return o.Subject == g.Subject && (o.Detail == g.Detail || g.Subject == roundup.GapMeasured) && o.Have == g.Have && o.Need == g.Need && o.Unit == g.Unit
		}
		if slices.ContainsFunc(s.r.Gaps[:i], same) {
			continue
		}
		var measures []string
		for _, o := range s.r.Gaps {
			if same(o) {
				measures = append(measures, measureOf(o))
			}
		}
		points = append(points, fmt.Sprintf("%s: %s (%s; %d would do).", capital(gapWords(g)), joined(measures), counted(g.Have, oneOf(g.Unit), g.Unit), g.Need))
	}
	return points
}

// oneOf is the singular of what is counted: "products of the year" gives
// "product of the year".
func oneOf(unit string) string {
	first, rest, _ := strings.Cut(unit, " ")
	return strings.TrimSuffix(first, "s") + " " + rest
}

// gapWords says what could not be told.
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
		return strings.ReplaceAll(g.Measure, "-", " ")
	}
	return trend.Words(g.Measure)
}

// next tells what to open and why.
func (s speaker) next() []string {
	if len(s.r.Next) == 0 {
		return []string{"Too few to say what to open again: neither a line of prices nor a second opening of any part (0 candidates)."}
	}
	var points []string
	for _, c := range s.r.Next {
		last := fmt.Sprintf("opened %s, last in %d", timesWord(c.Opened), c.Last)
		if c.PriceGain > c.DriftGain {
			points = append(points, fmt.Sprintf("%s: its price and media area would take about %s off the variance of the price line (%s).",
				Name(c.Maker, c.Part), shareOf(c.PriceGain), last))
			continue
		}
		points = append(points, fmt.Sprintf("%s: one more can gauge would take about %s off the variance of %s's yearly change and %s off that of all makers together (%s).",
			Name(c.Maker, c.Part), shareOf(c.MakerGain), short(c.Maker), shareOf(c.DriftGain), last))
	}
	return append(points, "The five are chosen one after the other, each given those before it (gain: the share by which the variance of the makers' yearly changes of can gauge, and of the price line, would fall).")
}

func timesWord(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d%stimes", n, nbsp)
}

// shareOf is a share in per cent, with a decimal below ten.
func shareOf(v float64) string { return unsigned(signedPercent(v)) }
