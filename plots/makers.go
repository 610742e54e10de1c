package plots

import (
	"cmp"
	"image/color"
	"slices"

	"gonum.org/v1/plot/vg"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/trend"
)

// makerMarks lists the makers that get a mark of their own, a combination of
// shape and colour. Shapes are used in turn, each with the next colour; after
// every shape has been used the colours move on by one. Triangles and the
// colours Above and Below are kept for flags.
type makerMarks []string

// makersOf returns the makers of points, those with most points first, then by
// name.
func makersOf(points []trend.Point) makerMarks {
	n := map[string]int{}
	var makers makerMarks
	for _, q := range points {
		if n[q.Maker]++; n[q.Maker] == 1 {
			makers = append(makers, q.Maker)
		}
	}
	slices.SortFunc(makers, func(a, b string) int { return cmp.Or(n[b]-n[a], cmp.Compare(a, b)) })
	return makers
}

// mostMakers is the number of combinations of shape and colour; makers beyond it
// share the plain mark.
const mostMakers = 15

// look returns the mark of a maker, the plain one for a maker that has none of
// its own.
func (m makerMarks) look(p *page.Page, maker string) (page.Shape, color.NRGBA) {
	i := slices.Index(m, maker)
	if i < 0 || i >= mostMakers {
		return page.Circle, p.Frame
	}
	free := [...]page.Shape{page.Circle, page.Square, page.Diamond, page.Pentagon, page.Star}
	colours := [...]color.NRGBA{p.Off, p.Series[3], p.Plain}
	return free[i%len(free)], colours[(i%len(free)+i/len(free))%len(colours)]
}

// legend returns the legend entries of the makers with a mark of their own.
func (m makerMarks) legend() []page.LegendItem {
	var items []page.LegendItem
	for _, maker := range m[:min(len(m), mostMakers)] {
		items = append(items, page.LegendItem{Text: words.Shorten(words.Clean(maker), words.MaxName), Width: 0.6, Draw: func(p *page.Page, at vg.Point) {
			s, colour := m.look(p, maker)
			p.Mark(p.Canvas, s, at, 0.27*p.Unit, colour)
		}})
	}
	return items
}
