package plots

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/trend"
)

// sortFlags sorts flags in place by grade (clear first), then by the size of
// their ratio to the line, then by name.
func sortFlags(flags []trend.Flag) {
	rank := func(f trend.Flag) int {
		return slices.Index([]trend.Grade{trend.Clear, trend.Probable, trend.Hint}, f.Grade)
	}
	size := func(f trend.Flag) float64 {
		if !(f.Ratio > 0) {
			return 0
		}
		return math.Abs(math.Log(f.Ratio))
	}
	slices.SortStableFunc(flags, func(a, b trend.Flag) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(size(b), size(a)),
			cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
}

// verdict is the meaning of a mark: the kind of a flag and its grade. A verdict
// of grade AsExpected has no kind: the product is not flagged.
type verdict struct {
	kind  trend.FlagKind
	grade trend.Grade
}

func verdictOf(f trend.Flag) verdict { return verdict{f.Kind, f.Grade} }

// mark draws a verdict. Shape and colour give its kind; a filled mark is clear,
// an outline with a smaller filled mark inside probable, an outline a hint.
func (v verdict) mark(p *page.Page, c draw.Canvas, pt vg.Point, r vg.Length) {
	shape, colour := page.Diamond, p.Off
	switch {
	case v.grade == trend.AsExpected:
		p.Mark(c, page.Circle, pt, r, p.Plain)
		return
	case v.kind == trend.Overpriced:
		shape, colour = page.TriangleUp, p.Above
	case v.kind == trend.Bargain:
		shape, colour = page.TriangleDown, p.Below
	}
	if v.grade == trend.Clear {
		p.Mark(c, shape, pt, r, colour)
		return
	}
	p.OpenMark(c, shape, pt, r, colour)
	if v.grade == trend.Probable {
		p.Mark(c, shape, pt, r/2, colour)
	}
}

// words returns the verdict as text for the legend.
func (v verdict) words() string {
	if v.grade == trend.AsExpected {
		return "about the usual price"
	}
	side := map[trend.FlagKind]string{trend.Overpriced: "above", trend.Bargain: "below", trend.OffTrend: "off the line"}[v.kind]
	return map[trend.Grade]string{trend.Clear: "clearly ", trend.Probable: "probably ", trend.Hint: "a hint "}[v.grade] + side
}

// hint returns the verdict as text for the tooltip of a flag.
func (v verdict) hint() string {
	if v.kind == trend.OffTrend {
		return v.words()
	}
	return v.words() + " what its contents usually cost"
}

// verdictKey returns the legend of the verdicts that occur; radius is that of the
// marks, in units of the page.
func verdictKey(verdicts map[verdict]bool, radius vg.Length) []page.LegendItem {
	var items []page.LegendItem
	for _, kind := range [...]trend.FlagKind{trend.Overpriced, trend.Bargain, trend.OffTrend, ""} {
		for _, grade := range [...]trend.Grade{trend.Clear, trend.Probable, trend.Hint, trend.AsExpected} {
			if v := (verdict{kind, grade}); verdicts[v] {
				items = append(items, page.LegendItem{Text: v.words(), Width: 0.8, Draw: func(p *page.Page, at vg.Point) {
					v.mark(p, p.Canvas, at, radius*p.Unit)
				}})
			}
		}
	}
	return items
}

// offUsual returns a sentence naming the products priced above and below what
// their contents usually cost, "" if there are none. Up to three are named on
// each side; the rest are counted.
func offUsual(above, below []string) string {
	cost := func(names []string, than string) string {
		if len(names) == 1 {
			return words.List(names) + " costs " + than + " than its contents usually do"
		}
		return words.List(names) + " cost " + than + " than their contents usually do"
	}
	switch {
	case len(above) > 0 && len(below) > 0:
		return cost(above, "more") + ", " + words.List(below) + " less"
	case len(above) > 0:
		return cost(above, "more")
	case len(below) > 0:
		return cost(below, "less")
	}
	return ""
}
