package comparison

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/compare"
)

// The marks of the tables: a difference between the products; one that specimens of one
// part may show as well; one too small for the bench to measure; not known; the same.
const (
	markDiffers   = "≠"
	markSpecimens = "~"
	markBench     = "≈"
	markUnknown   = "?"
	markSame      = "="
	markBlank     = "–" // in a cell
)

// legend explains the marks that a comparison's tables contain.
func legend(c *compare.Comparison, u dataset.Units) string {
	used := map[string]bool{}
	for _, g := range compare.Groups() {
		for _, r := range rowsOf(c, g, u) {
			used[r.mark] = true
			used[markBlank] = used[markBlank] || slices.Contains(r.cells, markBlank)
		}
	}
	between := "openings of one part"
	if c.Kind == compare.OfMakers {
		between = "parts of one maker"
	}
	var say []string
	for _, m := range []struct{ mark, means string }{
		{markDiffers, "differs by more than " + between + " do, or in kind"},
		{markSpecimens, "by no more than they do"},
		{markBench, "the bench can't tell apart"},
		{markSame, "the same"},
		{markUnknown, "whether it differs is not known"},
		{markBlank, "not recorded"},
	} {
		if used[m.mark] {
			say = append(say, m.mark+" "+m.means)
		}
	}
	return strings.Join(say, "; ") + "."
}

// mark returns the mark of a measure.
func mark(m compare.Measure) string {
	benchDiffers, known, same := false, false, true
	for _, d := range m.Differences {
		if d.Beyond {
			return markDiffers
		}
		same = same && d.By == 0
		benchDiffers = benchDiffers || d.BeyondBench
		known = known || !math.IsNaN(d.Limit)
	}
	switch {
	case same:
		return markSame
	case !known:
		return markUnknown
	case benchDiffers:
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

// rowsOf returns the rows of a group in the teardown order, including what was recorded
// of one product only.
func rowsOf(c *compare.Comparison, g compare.Group, u dataset.Units) []compareRow {
	var out []compareRow
	title := func(column string) string {
		return strings.TrimSuffix(catalogue.Words(column)+", "+strings.TrimSpace(u.Of(column).Symbol), ", ")
	}
	for _, m := range c.Measures {
		if m.Group != g {
			continue
		}
		r := compareRow{column: m.Column, title: title(m.Column), mark: mark(m)}
		for _, v := range m.Values {
			r.cells = append(r.cells, wording.Bare(v.Mean, u.Of(m.Column)))
		}
		out = append(out, r)
	}
	for _, w := range c.Words {
		if w.Group != g {
			continue
		}
		r := compareRow{column: w.Column, title: catalogue.Words(w.Column), mark: kindMark(w)}
		for _, words := range w.Values {
			r.cells = append(r.cells, orDash(strings.Join(wording.Cut(words, wording.FewListed), ", ")))
		}
		out = append(out, r)
	}
	for _, o := range c.Only {
		if compare.GroupOf(o.Column) != g {
			continue
		}
		r := compareRow{column: o.Column, title: catalogue.Words(o.Column), cells: slices.Repeat([]string{orDash("")}, len(c.Products))}
		r.cells[o.Place] = strings.Join(o.Words, ", ")
		if len(o.Words) == 0 {
			r.title, r.cells[o.Place] = title(o.Column), wording.Bare(o.Value, u.Of(o.Column))
		}
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b compareRow) int { return place(a.column) - place(b.column) })
	return out
}

// kindMark returns the mark of a category: markDiffers if it differs, markSame if every
// product of which it was recorded has the same words, markSpecimens otherwise.
func kindMark(w compare.Words) string {
	if w.Differs {
		return markDiffers
	}
	var first []string
	for _, words := range w.Values {
		switch {
		case len(words) == 0:
		case first == nil:
			first = slices.Sorted(slices.Values(words))
		case !slices.Equal(first, slices.Sorted(slices.Values(words))):
			return markSpecimens
		}
	}
	return markSame
}

func groupTable(t *wording.Text, c *compare.Comparison, rows []compareRow) {
	const name, widest = 30, 16
	wide := min((wording.Width-name-2)/len(c.Products), widest)
	line := func(title string, cells []string, last string) {
		var wrapped [][]string // lines of each cell
		most := 1
		for _, cell := range cells {
			wrapped = append(wrapped, wording.Wrap(wording.Visible(cell), wide-1))
			most = max(most, len(wrapped[len(wrapped)-1]))
		}
		for i := range most {
			var b strings.Builder
			b.WriteString(wording.Pad(wording.Clip(title, name), name))
			for _, lines := range wrapped {
				if i < len(lines) {
					b.WriteString(wording.PadLeft(lines[i], wide))
				} else {
					b.WriteString(wording.Pad("", wide))
				}
			}
			t.Line(strings.TrimRight(b.String()+" "+last, " "))
			title, last = "", ""
		}
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

func orDash(s string) string {
	return cmp.Or(s, markBlank)
}
