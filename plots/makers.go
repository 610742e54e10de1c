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

// makerMarks tells makers apart by shape and colour together: the shapes in
// turn, and with each full turn the next colours. Triangles and the colours of
// prices above and below stay with the flags.
type makerMarks []string

// makersOf orders the makers of points by how many they have, then by name.
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

// mostMakers can be told apart on one chart; the rest share the plain mark.
const mostMakers = 15

// look is the mark of the maker; the plain one where there are too many.
func (m makerMarks) look(p *page.Page, maker string) (page.Shape, color.NRGBA) {
	i := slices.Index(m, maker)
	if i < 0 || i >= mostMakers {
		return page.Circle, p.Frame
	}
	free := [...]page.Shape{page.Circle, page.Square, page.Diamond, page.Pentagon, page.Star}
	colours := [...]color.NRGBA{p.Off, p.Series[3], p.Plain}
	return free[i%len(free)], colours[(i%len(free)+i/len(free))%len(colours)]
}

// legend names the makers.
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
