package render

import (
	"fmt"
	"math"
	"strings"

	"pleatstat/stats/roundup"
	"pleatstat/stats/trend"
)

func (s speaker) shiftsTitle() string {
	if s.r.Before == 0 {
		return "What changed since last year"
	}
	return fmt.Sprintf("What changed since %d", s.r.Before)
}

// shifts says how the market moved, measure by measure: the parts opened again
// first, as the only like for like.
func (s speaker) shifts() []string {
	if s.r.Before == 0 {
		return []string{"Nothing can be compared: it is the first year of the log (0 earlier years)."}
	}
	var points []string
	ranges, sure := 0, 0
	var sized string
	var still []string
	for i := 0; i < len(s.r.Shifts); {
		measure := s.r.Shifts[i].Measure
		j := i
		for j < len(s.r.Shifts) && s.r.Shifts[j].Measure == measure {
			sh := s.r.Shifts[j]
			if !sh.TooFew {
				ranges++
				if sh.Clear {
					sure++
				}
			}
			if sh.SizeMeasure != "" && !math.IsInf(sh.SizeTo, 0) && !math.IsNaN(sh.SizeTo) && sh.Group == roundup.Middle {
				sized = fmt.Sprintf("Small, middle and large are thirds of the parts by %s (up to %s, up to %s, and beyond).",
					trend.Words(sh.SizeMeasure), quantity(s.u, sh.SizeMeasure, sh.SizeFrom), quantity(s.u, sh.SizeMeasure, sh.SizeTo))
			}
			j++
		}
		if words, ok := s.quiet(s.r.Shifts[i:j]); ok {
			still = append(still, words)
		} else {
			points = append(points, s.measureShifts(measure, s.r.Shifts[i:j])...)
		}
		i = j
	}
	if len(still) > 0 {
		points = append(points, fmt.Sprintf("No sure change in the parts opened again, in the middle and a year: %s.", joined(still)))
	}
	if sized != "" {
		points = append(points, sized)
	}
	if ranges > 0 {
		points = append(points, fmt.Sprintf("Of so many ranges a few miss by chance, so a change that stands alone is a hint (%s told here, %d leave out no change; about %s expected to miss).",
			counted(ranges, "range", "ranges"), sure, fixed(math.Max(1, trend.ByChance*float64(ranges)), 0)))
	}
	return points
}

// quiet says in a few words that a measure, told for the same parts only, did
// not change for certain; false where there is more to tell.
func (s speaker) quiet(shifts []roundup.Shift) (string, bool) {
	for _, sh := range shifts {
		if sh.Clear || sh.TooFew && sh.Group == roundup.OpenedAgain || sh.SizeMeasure != "" || sh.Measure == "price" {
			return "", false
		}
	}
	sh := shifts[0]
	return fmt.Sprintf("%s (%s, %s; %s)", trend.Words(sh.Measure), s.moved(sh.Measure, sh.Relative, sh.Shift, (sh.High-sh.Low)/2),
		s.movedRange(sh.Measure, sh.Relative, sh.Low, sh.High), counted(sh.Products, "part", "parts")), true
}

// measureShifts tells one measure: the parts opened again, the parts of both
// years, and all parts by size.
func (s speaker) measureShifts(measure string, shifts []roundup.Shift) []string {
	var points, sizes []string
	for _, sh := range shifts {
		switch sh.Group {
		case roundup.OpenedAgain:
			points = append(points, s.again(sh))
		case roundup.SameProducts:
			if !sh.TooFew {
				points = append(points, s.oneShift(fmt.Sprintf("in the parts opened in both years, %d against %d", s.r.Year, s.r.Before), sh,
					counted(sh.Products, "part", "parts")))
			}
		case roundup.AllSizes:
			if !sh.TooFew {
				points = append(points, s.oneShift("over all parts, compared within their size", sh, openingsAgainst(sh)))
			}
		default:
			sizes = append(sizes, s.sizeShift(sh))
		}
	}
	if len(sizes) > 0 {
		points = append(points, fmt.Sprintf("%s by size: %s.", capital(trend.Words(measure)), strings.Join(sizes, "; ")))
	}
	return points
}

// again tells the yearly change of the parts opened again.
func (s speaker) again(sh roundup.Shift) string {
	what := capital(trend.Words(sh.Measure))
	if sh.TooFew {
		return fmt.Sprintf("%s of parts opened again: too few to say (%s; %d would do).", what, counted(sh.Products, "part", "parts"), sh.Needed)
	}
	tail := fmt.Sprintf("(%s a year; %s, each against its own last opening)", s.movedRange(sh.Measure, sh.Relative, sh.Low, sh.High), counted(sh.Products, "part", "parts"))
	by := s.moved(sh.Measure, sh.Relative, sh.Shift, (sh.High-sh.Low)/2)
	shows := "shows"
	if counts(sh.Measure) {
		shows = "show"
	}
	switch {
	case !sh.Clear:
		return fmt.Sprintf("%s of parts opened again %s no sure change: in the middle %s a year %s.", what, shows, by, tail)
	case sh.Shift > 0:
		return fmt.Sprintf("%s of parts opened again rose, in the middle by %s a year %s.", what, unsigned(by), tail)
	}
	return fmt.Sprintf("%s of parts opened again fell, in the middle by %s a year %s.", what, unsigned(by), tail)
}

func unsigned(s string) string {
	if r := []rune(s); len(r) > 0 && (r[0] == '+' || r[0] == '−') {
		return string(r[1:])
	}
	return s
}

// oneShift tells a shift from one year to the next.
func (s speaker) oneShift(where string, sh roundup.Shift, n string) string {
	verdict := "no sure change"
	if sh.Clear {
		verdict = "higher"
		if sh.Shift < 0 {
			verdict = "lower"
		}
	}
	half := (sh.High - sh.Low) / 2
	return fmt.Sprintf("%s %s: %s (shift %s, %s; %s).", capital(trend.Words(sh.Measure)), where, verdict,
		s.moved(sh.Measure, sh.Relative, sh.Shift, half), s.movedRange(sh.Measure, sh.Relative, sh.Low, sh.High), n)
}

func (s speaker) sizeShift(sh roundup.Shift) string {
	if sh.TooFew {
		return fmt.Sprintf("%s, too few to say (%s; %d in each would do)", sh.Group, openingsAgainst(sh), sh.Needed)
	}
	verdict := "no sure change"
	if sh.Clear {
		verdict = "higher"
		if sh.Shift < 0 {
			verdict = "lower"
		}
	}
	half := (sh.High - sh.Low) / 2
	return fmt.Sprintf("%s, %s (%s, %s; %s)", sh.Group, verdict, s.moved(sh.Measure, sh.Relative, sh.Shift, half),
		s.movedRange(sh.Measure, sh.Relative, sh.Low, sh.High), openingsAgainst(sh))
}

// openingsAgainst counts the openings of the two years compared.
func openingsAgainst(sh roundup.Shift) string {
	return fmt.Sprintf("%s against %d", counted(sh.Now, "opening", "openings"), sh.Before)
}

// changes tells what differs in parts opened before.
func (s speaker) changes() []string {
	r := s.r.Reopened
	if r.Products == 0 {
		return []string{"No part of this year had been opened before (0 parts)."}
	}
	points := []string{fmt.Sprintf("%s had been opened in an earlier year; each was compared with its own last opening (%s).",
		capital(counted(r.Products, "part", "parts")), counted(r.Comparisons, "reading compared", "readings compared"))}
	var clear, look []roundup.Change
	for _, c := range r.Changes {
		if c.Clear {
			clear = append(clear, c)
		} else {
			look = append(look, c)
		}
	}
	if len(clear) == 0 {
		points = append(points, fmt.Sprintf("None differs clearly by more than two openings of one part do (0 of %d, false discovery rate %s).", r.Comparisons, percent(r.LevelUsed)))
	}
	for _, c := range clear[:min(len(clear), maxListed)] {
		points = append(points, s.change(c)+", "+level("q", c.Q)+").")
	}
	if more := len(clear) - maxListed; more > 0 {
		points = append(points, fmt.Sprintf("And %d more clear changes (all in the table).", more))
	}
	switch {
	case len(look) == 0:
	case float64(len(look)) <= r.Chance+2*math.Sqrt(r.Chance): // two standard deviations of such a count
		points = append(points, fmt.Sprintf("A few more lie outside what two openings of one part usually differ by: about as many as chance brings, so nothing is made of them (%d seen, about %s expected).",
			len(look), fixed(math.Max(1, r.Chance), 0)))
	default:
		points = append(points, fmt.Sprintf("More readings than chance brings lie outside what two openings of one part usually differ by; which of them are real is open (%d seen, about %s expected):",
			len(look), fixed(math.Max(1, r.Chance), 0)))
		for _, c := range look[:min(len(look), toldPlaces)] {
			points = append(points, s.change(c)+", "+level("p", c.P)+"; worth a second look).")
		}
	}
	for _, w := range r.Words[:min(len(r.Words), maxListed)] {
		points = append(points, fmt.Sprintf("%s: %s was recorded as %s, in %d as %s (line%s%d).", Name(w.Maker, w.Part), trend.Words(w.Measure),
			short(w.Now), w.Since, short(w.Before), nbsp, w.Lines[0]))
	}
	return points
}

// change says one difference, its bracket left open.
func (s speaker) change(c roundup.Change) string {
	is, was := "is", "it was"
	if counts(c.Measure) {
		is, was = "are", "they were"
	}
	text := fmt.Sprintf("%s: %s %s %s, in %d %s %s", Name(c.Maker, c.Part), trend.Words(c.Measure), is,
		quantity(s.u, c.Measure, c.Now), c.Since, was, quantity(s.u, c.Measure, c.Before))
	half := (c.High - c.Low) / 2
	text += fmt.Sprintf(" (%s, %s", s.moved(c.Measure, c.Relative, c.Difference, half), s.movedRange(c.Measure, c.Relative, c.Low, c.High))
	if c.AboveMarket {
		text += fmt.Sprintf(", the market %s in that time", signedPercent(c.MarketFactor-1))
	}
	return text
}
