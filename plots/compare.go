package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
)

// CompareTable is a comparison of a few products, measure by measure.
type CompareTable struct {
	Parts   []string // names of the products, 2 to 5
	Rows    []CompareRow
	More    int    // number of measures left out of Rows
	Between string // what Beyond is measured against, in the plural; "" = "openings of one part"
}

// CompareRow is one measure. Values and Text have one entry for each part; a NaN
// or infinite value has no bar. Rows of the same group must be adjacent.
type CompareRow struct {
	Name, Group string
	Values      []float64
	Text        []string // the values as written, with their unit
	Beyond      bool     // the products differ by more than scatter explains
}

const maxCompared = 5

// Compare draws products side by side: a column for each product and a row for
// each measure, every value written and drawn as a bar in proportion to the
// largest of its row. A heavier line separates the groups. Rows with a difference
// beyond scatter are marked and drawn in full colour. If not all rows fit, rows
// without such a difference are left out first; the note counts the rows left
// out.
//
// It returns ErrNothingToDraw if there are no rows, and another error for fewer
// than two or more than five parts, or for a row whose length is not the number
// of parts.
func Compare(t CompareTable, s Source) (*Chart, error) {
	if n := len(t.Parts); n < 2 || n > maxCompared {
		return nil, fmt.Errorf("comparison of %d products: want 2 to %d", n, maxCompared)
	}
	if len(t.Rows) == 0 {
		return nil, fmt.Errorf("comparison without measures: %w", ErrNothingToDraw)
	}
	for _, r := range t.Rows {
		if len(r.Values) != len(t.Parts) || len(r.Text) != len(t.Parts) {
			return nil, fmt.Errorf("comparison, row %q: %d values and %d texts for %d products", r.Name, len(r.Values), len(r.Text), len(t.Parts))
		}
	}
	v := compareView(t)
	return &Chart{
		Title:    v.title(),
		Subtitle: "Bars start at zero; each row has its own scale.",
		Source:   s.withDefaults(),
		legend: []page.LegendItem{
			{Text: "differs by more than " + cmp.Or(t.Between, "openings of one part") + " do", Width: 0.8, Draw: func(p *page.Page, at vg.Point) {
				p.Mark(p.Canvas, page.Diamond, at, 0.32*p.Unit, p.Above)
			}},
		},
		body: v.draw,
	}, nil
}

type compareView CompareTable

// mostInTitle is the number of measures named in the title.
const mostInTitle = 3

// title names the measures in which the products differ most, by ratio.
func (v compareView) title() string {
	who := words.Shorten(words.Clean(strings.Join(v.Parts, " and ")), 60)
	if len(v.Parts) > 2 {
		who = words.Sentence(words.Count(len(v.Parts)) + " filters")
	}
	var differ []CompareRow
	for _, r := range v.Rows {
		if r.Beyond {
			differ = append(differ, r)
		}
	}
	if len(differ) == 0 {
		if len(v.Parts) > 2 {
			return "No difference shown between the " + words.Count(len(v.Parts)) + " filters"
		}
		return "No difference shown between " + who
	}
	slices.SortStableFunc(differ, func(a, b CompareRow) int { return cmp.Compare(b.spread(), a.spread()) })
	most := ""
	if len(differ) > mostInTitle {
		differ, most = differ[:mostInTitle], " most"
	}
	var names []string
	for _, r := range differ {
		names = append(names, words.Clean(r.Name))
	}
	return who + " differ" + most + " in " + words.List(names)
}

// spread returns the ratio of the largest to the smallest value, 1 if a value is
// not positive.
func (r CompareRow) spread() float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range r.Values {
		if page.Finite(x) {
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	if !(low > 0) {
		return 1
	}
	return high / low
}

// fitting returns at most n rows in their order, preferring those whose
// difference is beyond scatter.
func (v compareView) fitting(n int) []CompareRow {
	rows := slices.Clone(v.Rows)
	for i := len(rows) - 1; i >= 0 && len(rows) > n; i-- {
		if !rows[i].Beyond {
			rows = slices.Delete(rows, i, i+1)
		}
	}
	return rows[:min(n, len(rows))]
}

func (v compareView) draw(p *page.Page, area vg.Rectangle) string {
	const (
		pitch = 2.15 // height of a row, units
		gap   = 0.7  // between columns, units
		least = 3    // rows shown however small the page
	)
	label := vg.Length(0)
	for _, r := range v.Rows {
		label = max(label, p.Width(words.Clean(r.Name), page.RowLabel, true))
	}
	label = min(label, 0.3*area.Size().X) + 1.6*p.Unit
	column := (area.Size().X - label) / vg.Length(len(v.Parts))

	head := v.heads(p, area, label, column-gap*p.Unit, column)
	rows := v.fitting(max(least, int((area.Size().Y-head)/(pitch*p.Unit))))
	step := min((area.Size().Y-head)/vg.Length(len(rows)), page.MaxPitch*p.Unit)
	for i, r := range rows {
		y := area.Max.Y - head - vg.Length(i)*step
		width := 0.05
		if i > 0 && r.Group != rows[i-1].Group {
			width = 0.2
		}
		p.StrokeLines(p.LineStyle(p.Grid, width), []vg.Point{{X: area.Min.X, Y: y}, {X: area.Max.X, Y: y}})
		v.row(p, r, vg.Point{X: area.Min.X, Y: y}, label, column, step)
	}
	if left := v.More + len(v.Rows) - len(rows); left > 0 {
		return fmt.Sprintf("%s not shown", words.Quantity(left, "more measure", "more measures"))
	}
	return ""
}

// heads writes the parts' names above their columns and returns the height they
// take.
func (v compareView) heads(p *page.Page, area vg.Rectangle, label, width, column vg.Length) vg.Length {
	lines := 1
	texts := make([][]string, len(v.Parts))
	size := page.RowLabel
	for i, part := range v.Parts {
		t, s := p.Fit(words.Shorten(words.Clean(part), words.MaxName), page.RowLabel, true, width, 2)
		texts[i], size = t, min(size, s)
		lines = max(lines, len(t))
	}
	for i, t := range texts {
		for k, line := range t {
			p.Put(line, size, true, p.Ink, vg.Point{X: area.Min.X + label + vg.Length(i)*column,
				Y: area.Max.Y - vg.Length(float64(k)*1.2+0.9)*p.Unit}, 0)
		}
	}
	return vg.Length(float64(lines)*1.2+0.35) * p.Unit
}

// row draws one measure; at is the upper left corner of its row.
func (v compareView) row(p *page.Page, r CompareRow, at vg.Point, label, column, step vg.Length) {
	base := at.Y - 0.42*step - 0.3*p.Unit
	if r.Beyond {
		p.Mark(p.Canvas, page.Diamond, vg.Point{X: at.X + 0.4*p.Unit, Y: base + 0.32*p.Unit}, 0.32*p.Unit, p.Above)
	}
	colour, bar := p.Muted, p.Plain
	if r.Beyond {
		colour, bar = p.Ink, p.Off
	}
	names, size := p.Fit(words.Clean(r.Name), page.RowLabel, r.Beyond, label-1.6*p.Unit, 2)
	for i, line := range names {
		lift := vg.Length((float64(len(names)-1)/2 - float64(i)) * size)
		p.Put(line, size, r.Beyond, colour, vg.Point{X: at.X + 1.1*p.Unit, Y: base + lift*p.Unit}, 0)
	}

	largest := 0.0
	for _, x := range r.Values {
		if page.Finite(x) {
			largest = math.Max(largest, math.Abs(x))
		}
	}
	full := column - 0.7*p.Unit
	for i, x := range r.Values {
		left := vg.Point{X: at.X + label + vg.Length(i)*column, Y: at.Y - 0.5*step}
		text := words.Clean(r.Text[i])
		if text == "" {
			text = "–"
		}
		p.Hint(fmt.Sprintf("%s, %s: %s", words.Clean(v.Parts[i]), words.Clean(r.Name), text), func() {
			p.PutFit(text, page.RowLabel, r.Beyond, colour, left, full)
			if page.Finite(x) && largest > 0 {
				w := full * vg.Length(math.Abs(x)/largest)
				p.FillPolygon(bar, []vg.Point{
					{X: left.X, Y: left.Y - 0.3*p.Unit}, {X: left.X + w, Y: left.Y - 0.3*p.Unit},
					{X: left.X + w, Y: left.Y - 0.72*p.Unit}, {X: left.X, Y: left.Y - 0.72*p.Unit}})
			}
		})
	}
}
