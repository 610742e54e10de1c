package plots

import (
	"cmp"
	"image/color"
	"slices"

	"gonum.org/v1/plot/vg"

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
func (m makerMarks) look(p *page, maker string) (shape, color.NRGBA) {
	i := slices.Index(m, maker)
	if i < 0 || i >= mostMakers {
		return circle, p.frame
	}
	free := [...]shape{circle, square, diamond, pentagon, star}
	colours := [...]color.NRGBA{p.off, p.series[3], p.plain}
	return free[i%len(free)], colours[(i%len(free)+i/len(free))%len(colours)]
}

// legend names the makers.
func (m makerMarks) legend() []legendItem {
	var items []legendItem
	for _, maker := range m[:min(len(m), mostMakers)] {
		items = append(items, legendItem{text: shorten(clean(maker), maxName), width: 0.6, draw: func(p *page, at vg.Point) {
			s, colour := m.look(p, maker)
			p.mark(p.Canvas, s, at, 0.27*p.unit, colour)
		}})
	}
	return items
}
