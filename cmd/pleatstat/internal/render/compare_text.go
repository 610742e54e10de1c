package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/compare"
	"pleatstat/stats/trend"
)

// Compare writes products side by side and which of their differences are
// larger than the bench can repeat.
func Compare(t *Text, c *compare.Comparison, u dataset.Units) {
	t.Heading("Side by side")
	for k, p := range c.Products {
		t.Item(fmt.Sprintf("%s is %s (%s, %s).", letter(k), Name(p.Maker, p.Part), counted(p.Openings, "opening", "openings"), lines(p.Lines)))
	}
	t.Blank()
	compareTable(t, c, u)
	beyondBench(t, c, u)
	withinBench(t, c)
	mostOf(t, c)
	differentWords(t, c)
	onlyOne(t, c, u)
	if len(c.Prices) > 0 {
		t.Heading("The prices against the contents")
		if m := c.Prices[0].MoneyOf; m != "" {
			t.Para("All prices are in the money of " + spoken(m) + ".")
		}
		for _, j := range c.Prices {
			t.Verdict(j.Verdict, u)
			for _, w := range j.Warnings {
				if !slices.Contains(c.PriceWarnings, w) && w != j.Why {
					t.Para("Note: " + sentence(w))
				}
			}
		}
	}
	t.notes(c.PriceWarnings)
	t.notes(c.Warnings)
	PriceCaution(t)
}

// letter names a product in the tables: A, B, …
func letter(k int) string { return string(rune('A' + k)) }

// mark says in one sign what the bench can tell.
func mark(m compare.Measure) string {
	known := false
	for _, d := range m.Differences {
		if d.Beyond {
			return "≠"
		}
		known = known || !math.IsNaN(d.Limit)
	}
	if known {
		return "≈"
	}
	return ""
}

func compareTable(t *Text, c *compare.Comparison, u dataset.Units) {
	if len(c.Measures)+len(c.Words) == 0 {
		t.Para("Nothing was recorded of all of them.")
		return
	}
	const name, widest = 30, 16
	wide := min((Width-name-2)/len(c.Products), widest)
	row := func(title string, cells []string, last string) {
		var b strings.Builder
		b.WriteString(pad(cutName(title, name), name))
		for _, cell := range cells {
			b.WriteString(padLeft(cutName(cell, wide-1), wide))
		}
		t.Line(b.String() + " " + last)
	}
	var letters []string
	for k := range c.Products {
		letters = append(letters, letter(k))
	}
	row("", letters, "")
	for _, m := range c.Measures {
		unit := u.Of(m.Column)
		var cells []string
		for _, v := range m.Values {
			cells = append(cells, bare(v.Mean, unit))
		}
		row(strings.TrimSuffix(trend.Words(m.Column)+", "+strings.TrimSpace(unit.Symbol), ", "), cells, mark(m))
	}
	for _, w := range c.Words {
		var cells []string
		for _, words := range w.Values {
			cells = append(cells, orDash(strings.Join(words, ", ")))
		}
		last := ""
		if w.Differs {
			last = "≠"
		}
		row(trend.Words(w.Column), cells, last)
	}
	t.Blank()
	t.Para("≠ differs by more than the bench can repeat, or in kind; ≈ does not; without a sign the bench's repeatability is not known.")
}

// bare is a value in its unit, without the unit.
func bare(base float64, unit dataset.Unit) string {
	if math.IsNaN(base) {
		return orDash("")
	}
	return minus(fixed(base*unit.PerBase, unit.Decimals))
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// beyondBench tells the differences that measuring again would not undo.
func beyondBench(t *Text, c *compare.Comparison, u dataset.Units) {
	t.Heading("Larger than the bench can repeat")
	found := false
	for _, m := range c.Measures {
		var said []string
		for i, d := range m.Differences {
			if d.Beyond {
				said = append(said, differenceWords(m, i, d, u))
			}
		}
		if len(said) > 0 {
			found = true
			t.Item(capital(trend.Words(m.Column)) + ": " + strings.Join(said, "; ") + ".")
		}
	}
	if !found {
		t.Para("No difference is, as far as the bench's repeatability is known.")
	}
}

// differenceWords tells one difference from the first product: "B has 5.6 g
// less than A (6 %; measuring alone may differ by 0.1 g; 7 openings)".
func differenceWords(m compare.Measure, i int, d compare.Difference, u dataset.Units) string {
	unit := u.Of(m.Column)
	say := func(v float64) string {
		// Two digits of what the bench can repeat, but hardly more than the log has.
		return precise(u, m.Column, math.Abs(v), min(decimalsFor(d.Limit*unit.PerBase), unit.Decimals+1))
	}
	var inside []string
	switch share := math.Abs(d.Ratio - 1); {
	case math.IsNaN(d.Ratio):
	case d.Ratio >= 1.95:
		inside = append(inside, fixed(d.Ratio, 1)+" times")
	case share < 0.01:
		inside = append(inside, fixed(100*share, 1)+nbsp+"%")
	default:
		inside = append(inside, percent(share))
	}
	if d.Limit > 0 {
		limit := say(d.Limit)
		if least := math.Pow(10, -float64(unit.Decimals)) / unit.PerBase; say(0) == limit { // money has its own decimals
			limit = "less than " + quantity(u, m.Column, least)
		}
		inside = append(inside, "measuring alone may differ by "+limit)
	}
	inside = append(inside, counted(m.Values[0].N+m.Values[i+1].N, "opening", "openings"))
	return fmt.Sprintf("%s has %s %s than A (%s)", letter(i+1), say(d.By), more(m.Column, d.By > 0), strings.Join(inside, "; "))
}

// withinBench names the measures that the bench cannot tell apart, and those
// of which it is not known.
func withinBench(t *Text, c *compare.Comparison) {
	var same, unknown []string
	for _, m := range c.Measures {
		switch mark(m) {
		case "≈":
			same = append(same, trend.Words(m.Column))
		case "":
			unknown = append(unknown, trend.Words(m.Column))
		}
	}
	if len(same) > 0 {
		t.Para("Not told apart by this bench: " + joined(same) + ".")
	}
	if len(unknown) > 0 {
		t.Para("Too few repeated readings to say: " + joined(unknown) + ". Measure a few parts twice; the spread of the repeats decides.")
	}
}

// mostOf says who has more of what.
func mostOf(t *Text, c *compare.Comparison) {
	t.Heading("Who has most")
	said := false
	for k := range c.Products {
		var what []string
		for _, m := range c.Measures {
			if m.Most == k {
				what = append(what, trend.Words(m.Column))
			}
		}
		if len(what) > 0 {
			said = true
			t.Item(letter(k) + ": " + joined(what) + ".")
		}
	}
	if !said {
		t.Para("Nobody, as far as the bench can tell.")
	}
}

func differentWords(t *Text, c *compare.Comparison) {
	t.Heading("Different in kind")
	said := false
	for _, w := range c.Words {
		if !w.Differs {
			continue
		}
		var each []string
		for k, words := range w.Values {
			if len(words) > 0 {
				each = append(each, letter(k)+" "+short(strings.Join(words, ", ")))
			}
		}
		t.Item(capital(trend.Words(w.Column)) + ": " + strings.Join(each, "; ") + ".")
		said = true
	}
	if !said {
		t.Para("Nothing that was recorded of at least two.")
	}
}

func onlyOne(t *Text, c *compare.Comparison, u dataset.Units) {
	if len(c.Only) == 0 {
		return
	}
	t.Heading("Recorded of one only")
	for k := range c.Products {
		var what []string
		for _, o := range c.Only {
			if o.Place != k {
				continue
			}
			value := strings.Join(o.Words, ", ")
			if len(o.Words) == 0 {
				value = quantity(u, o.Column, o.Value.Mean)
			}
			what = append(what, trend.Words(o.Column)+" "+short(value))
		}
		if len(what) > 0 {
			t.Item(letter(k) + ": " + joined(what) + ".")
		}
	}
}
