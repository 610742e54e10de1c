package render

import (
	"math"
	"slices"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/compare"
	"pleatstat/stats/trend"
)

// The marks of the tables: a difference between the products; one that openings
// of one part may show as well; one that the bench can't measure; not known.
const (
	markDiffers   = "≠"
	markSpecimens = "~"
	markBench     = "≈"
	markUnknown   = "?"
	markSame      = "="
)

func legend(kind compare.Kind) string {
	between := "openings of one part"
	if kind == compare.OfMakers {
		between = "parts of one maker"
	}
	return markDiffers + " differs by more than " + between + " do, or in kind; " + markSpecimens + " does not; " +
		markBench + " the bench can't tell apart; " + markSame + " the same; " + markUnknown + " not known."
}

// mark says in one sign what can be told of a measure.
func mark(m compare.Measure) string {
	tells, known, same := false, false, true
	for _, d := range m.Differences {
		if d.Beyond {
			return markDiffers
		}
		same = same && d.By == 0
		tells = tells || d.BenchTells
		known = known || !math.IsNaN(d.Limit)
	}
	switch {
	case same:
		return markSame
	case !known:
		return markUnknown
	case tells:
		return markSpecimens
	}
	return markBench
}

// compareRow is one line of a group's table.
type compareRow struct {
	column, title string
	cells         []string
	mark          string
}

// rowsOf are the rows of a group, in the order of the walk; what was recorded of
// one product alone among them.
func rowsOf(c *compare.Comparison, g compare.Group, u dataset.Units) []compareRow {
	var out []compareRow
	title := func(column string) string {
		return strings.TrimSuffix(trend.Words(column)+", "+strings.TrimSpace(u.Of(column).Symbol), ", ")
	}
	for _, m := range c.Measures {
		if m.Group != g {
			continue
		}
		r := compareRow{column: m.Column, title: title(m.Column), mark: mark(m)}
		for _, v := range m.Values {
			r.cells = append(r.cells, bare(v.Mean, u.Of(m.Column)))
		}
		out = append(out, r)
	}
	for _, w := range c.Words {
		if w.Group != g {
			continue
		}
		r := compareRow{column: w.Column, title: trend.Words(w.Column)}
		if w.Differs {
			r.mark = markDiffers
		}
		for _, words := range w.Values {
			r.cells = append(r.cells, orDash(strings.Join(words, ", ")))
		}
		out = append(out, r)
	}
	for _, o := range c.Only {
		if compare.GroupOf(o.Column) != g {
			continue
		}
		r := compareRow{column: o.Column, title: trend.Words(o.Column), cells: slices.Repeat([]string{orDash("")}, len(c.Products))}
		r.cells[o.Place] = strings.Join(o.Words, ", ")
		if len(o.Words) == 0 {
			r.title, r.cells[o.Place] = title(o.Column), bare(o.Value, u.Of(o.Column))
		}
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b compareRow) int { return place(a.column) - place(b.column) })
	return out
}

func groupTable(t *Text, c *compare.Comparison, rows []compareRow) {
	const name, widest = 30, 16
	wide := min((Width-name-2)/len(c.Products), widest)
	line := func(title string, cells []string, last string) {
		var b strings.Builder
		b.WriteString(pad(cutName(title, name), name))
		for _, cell := range cells {
			b.WriteString(padLeft(cutName(cell, wide-1), wide))
		}
		t.Line(strings.TrimRight(b.String()+" "+last, " "))
	}
	var letters []string
	for k, p := range c.Products {
		letters = append(letters, strings.TrimSpace(letter(k)+" "+p.When))
	}
	line("", letters, "")
	for _, r := range rows {
		line(r.title, r.cells, r.mark)
	}
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
