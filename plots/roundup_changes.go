package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/roundup"
)

// Shifts draws the changes of measures from one year to the next, in per cent: one
// row for each measure and group of parts, with its 95 % range. Rows whose range
// excludes zero stand out. Comparisons with too little data are counted in the
// note.
//
// It returns ErrNothingToDraw if no comparison has enough data.
func Shifts(shifts []roundup.Shift, year, before int, s Source) (*Chart, error) {
	s = s.withDefaults()
	out := &estimates{hasZero: true}
	out.x = page.Axis{K: 100, Title: "change (%)"}
	few := 0
	var moved []roundup.Shift
	shifts = slices.Clone(shifts)
	slices.SortStableFunc(shifts, func(a, b roundup.Shift) int { return cmp.Compare(groupOrder(a.Group), groupOrder(b.Group)) })
	for _, sh := range shifts {
		if sh.TooFew {
			few++
			continue
		}
		e, known := changed(shiftLabel(sh), sh.Shift, sh.Low, sh.High, perShare(sh.Relative, sh.MedianBefore), sh.Clear)
		if !known {
			few++
			continue
		}
		if sh.Clear {
			moved = append(moved, sh)
		}
		e.detail = percentChange(e.value)
		out.rows = append(out.rows, e)
	}
	if len(out.rows) == 0 {
		return nil, fmt.Errorf("changes of %d: %w", year, ErrNothingToDraw)
	}
	if few > 0 {
		out.note = fmt.Sprintf("too few to say: %s", words.Figures(few, "more comparison", "more comparisons"))
	}
	s.Openings, s.From, s.To = 0, before, year
	return &Chart{Title: shiftsTitle(moved, year), Source: s,
		Subtitle: fmt.Sprintf("Parts opened again: a year of change since each was last opened. Others: %d against %d. Bars: 95\u00a0%% ranges; one in twenty misses.", year, before),
		counted:  words.Figures(len(out.rows), "comparison", "comparisons"),
		legend:   out.ways("rose", "fell", "no sure change"),
		body:     out.draw}, nil
}

// groupOrder returns the rank of a group of parts in the chart, the most reliable
// kind of comparison first.
func groupOrder(group string) int {
	return slices.Index([]string{roundup.OpenedAgain, roundup.SameProducts, roundup.AllSizes, roundup.Small, roundup.Middle, roundup.Large}, group)
}

func percentChange(x float64) string {
	decimals := 0
	if math.Abs(x) < 0.0995 {
		decimals = 1
	}
	return words.SignedPercent(x, decimals)
}

func shiftLabel(s roundup.Shift) string {
	what := words.Of(s.Measure).Noun
	switch s.Group {
	case roundup.OpenedAgain:
		return what + ", opened again, a year"
	case roundup.SameProducts:
		return what + ", same parts"
	case roundup.AllSizes:
		return what + ", all parts"
	}
	return what + ", " + s.Group + " sizes"
}

// shiftsTitle names the first two clear shifts. Price per area moves with the
// price, so only one of the two is named.
func shiftsTitle(moved []roundup.Shift, year int) string {
	var phrases []string
	seen := map[string]bool{}
	for _, s := range moved {
		about := s.Measure
		if about == "price_per_area" {
			about = "price"
		}
		if seen[about] || len(phrases) == 2 {
			continue
		}
		seen[about] = true
		verb, size, span := "rose", math.Abs(s.Shift), ""
		if s.Shift < 0 {
			verb = "fell"
		}
		if !s.Relative {
			size /= s.MedianBefore
		}
		if s.PerYear {
			span = " a year"
		}
		phrases = append(phrases, fmt.Sprintf("%s %s %s%s", words.Of(s.Measure).Noun, verb, strings.TrimPrefix(percentChange(size), "+"), span))
	}
	switch len(phrases) {
	case 0:
		return fmt.Sprintf("Nothing moved for certain in %d", year)
	case 1:
		return words.Sentence(phrases[0]) + "; nothing else moved for certain"
	}
	return words.Sentence(strings.Join(phrases, ", "))
}

// perShare returns the factor that turns a change into a fraction of the value
// before; 1 for a relative measure, whose changes are fractions already.
func perShare(relative bool, before float64) float64 {
	if relative {
		return 1
	}
	return 1 / before
}

// changed returns the row of a change: by, low and high times scale, which makes
// them fractions of the value before. A clear change stands out. known is false if
// the change or its range is not finite.
func changed(label string, by, low, high, scale float64, clear bool) (e estimate, known bool) {
	e = estimate{label: label, value: by * scale, low: low * scale, high: high * scale, from: math.NaN(), look: openLook, bold: clear}
	switch {
	case clear && by < 0:
		e.look = downLook
	case clear:
		e.look = upLook
	}
	e.hint = fmt.Sprintf("%s: %s, 95\u00a0%% range %s to %s", e.label, percentChange(e.value), percentChange(e.low), percentChange(e.high))
	return e, page.Finite(e.value, e.low, e.high)
}

// PartChanges draws the measures of reopened parts that differ from their last
// opening, in per cent of the earlier value, in the order given.
//
// It returns ErrNothingToDraw if nothing differs.
func PartChanges(r roundup.Reopened, year int, s Source) (*Chart, error) {
	s = s.withDefaults()
	out := &estimates{hasZero: true}
	out.x = page.Axis{K: 100, Title: "change since the part was last opened (%)"}
	clear, first := 0, ""
	for _, c := range r.Changes {
		e, known := changed(words.Name(c.Maker, c.Part)+", "+words.Of(c.Measure).Noun, c.Difference, c.Low, c.High, perShare(c.Relative, c.Before), c.Clear)
		if !known {
			continue
		}
		say := func(v float64) string { return words.Clean(s.Units.Format(c.Measure, v)) }
		e.detail = fmt.Sprintf("%s → %s · %d", say(c.Before), say(c.Now), c.Since)
		e.hint += fmt.Sprintf(", since %d", c.Since)
		if c.Clear {
			if clear++; clear == 1 {
				first = e.label
			}
		}
		out.rows = append(out.rows, e)
	}
	if len(out.rows) == 0 {
		return nil, fmt.Errorf("parts opened again in %d: %w", year, ErrNothingToDraw)
	}
	title := fmt.Sprintf("No part opened again in %d differs clearly from its last opening", year)
	switch {
	case clear == 1:
		title = fmt.Sprintf("One clear change in parts opened again in %d: %s", year, first)
	case clear > 1:
		title = fmt.Sprintf("%s clear changes in parts opened again in %d, the surest: %s", words.Sentence(words.Count(clear)), year, first)
	}
	s.Openings, s.From, s.To = 0, 0, 0
	return &Chart{Title: title, Source: s,
		Subtitle: fmt.Sprintf("%s compared over %s; about %.0f second looks are expected by chance. Right: readings and the year of the last opening.",
			words.Sentence(words.Figures(r.Comparisons, "measure", "measures")), words.Figures(r.Products, "part", "parts"), math.Max(1, r.Chance)),
		counted: words.Figures(r.Products, "part", "parts"),
		legend:  out.ways("clear rise", "clear fall", "worth a second look"),
		body:    out.draw}, nil
}
