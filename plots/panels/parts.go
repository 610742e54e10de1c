package panels

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/drift"
)

const (
	// mostNamed parts of a maker fit beside a panel with their names.
	mostNamed = 5
	// flattened is by how many times the largest change within a part the
	// levels of the parts shown may differ; beyond it a change cannot be seen.
	flattened = 8.0
)

// namedParts are the openings of the parts that a panel shows as read: those
// opened most often, as long as their levels do not lie so far apart that a
// change within a part could not be seen; and how many parts are left out. The
// part named own, "" for none, comes before all others.
func namedParts(points []drift.Observation, own string) (shown []drift.Observation, left int) {
	parts := map[string][]drift.Observation{}
	var names []string
	reach := 0.0
	for _, o := range points {
		if parts[o.Part] == nil {
			names = append(names, o.Part)
		}
		parts[o.Part] = append(parts[o.Part], o)
		reach = math.Max(reach, math.Abs(o.Deviation))
	}
	size := func(name string) int {
		if name == own {
			return math.MaxInt
		}
		return len(parts[name])
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(size(b), size(a)), cmp.Compare(a, b)) })
	low, high, count := math.Inf(1), math.Inf(-1), 0
	for _, name := range names {
		level := levelOf(parts[name])
		l, h := math.Min(low, level), math.Max(high, level)
		if count == mostNamed || count > 0 && h-l > flattened*reach {
			left++
			continue
		}
		low, high, count = l, h, count+1
		shown = append(shown, parts[name]...)
	}
	return shown, left
}

// levelOf is the mean that a part's deviations are taken from.
func levelOf(points []drift.Observation) float64 {
	level := 0.0
	for _, o := range points {
		level += (o.Value - o.Deviation) / float64(len(points))
	}
	return level
}

// partNames is the share of a panel's width that the names of the parts take.
func partNames(p *page.Page, shown []drift.Entry, width vg.Length) float64 {
	widest := vg.Length(0)
	for _, e := range shown {
		for _, o := range e.Points {
			widest = max(widest, p.Width(words.Shorten(words.Clean(o.Part), words.MaxName), partName, false))
		}
	}
	const most = 0.4
	share := math.Min(most, float64((widest+1.8*p.Unit)/width))
	return share / (1 - share)
}

const partName = 0.78 // size of a part's name beside its readings

// parts draws each part's readings about the change as fitted, lifted to the
// part's own level, with its mark and name behind the last of them.
func (v *Drift) parts(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry, line, mark color.NRGBA) {
	at := page.Projection(c, pl)
	by := map[string][]drift.Observation{}
	var names []string
	first, last := math.Inf(1), math.Inf(-1)
	for _, o := range e.Points {
		if by[o.Part] == nil {
			names = append(names, o.Part)
		}
		by[o.Part] = append(by[o.Part], o)
		first, last = math.Min(first, o.Year), math.Max(last, o.Year)
	}
	type tag struct {
		name string
		y    vg.Length
	}
	var tags []tag
	for _, name := range names {
		level := levelOf(by[name])
		var end yearPoint
		for _, piece := range fitted(e, first, last) {
			c.StrokeLines(p.LineStyle(line, 0.08), c.ClipLinesXY(placed(piece, at, level))...)
			end = piece[len(piece)-1]
		}
		tags = append(tags, tag{name, at(end.X, level+end.Y).Y})
	}
	v.marks(p, c, pl, e, mark)
	// Names stand beside the end of their part's line, one below the other; no grid
	// runs behind them, so that the marks beside them don't look like readings.
	left := at(last, 0).X + 0.5*p.Unit
	c.FillPolygon(p.Background, []vg.Point{{X: left, Y: c.Min.Y + 0.05*p.Unit}, {X: c.Max.X, Y: c.Min.Y + 0.05*p.Unit}, c.Max, {X: left, Y: c.Max.Y}})
	shapeOf := partShapes(e.Points)
	slices.SortStableFunc(tags, func(a, b tag) int { return cmp.Compare(b.y, a.y) })
	room := vg.Length(partName*1.15) * p.Unit
	below := c.Max.Y + room/2
	if n := len(tags); n > 0 { // in the middle of their lines, where those lie close
		below = min(below, (tags[0].y+tags[n-1].y)/2+max(tags[0].y-tags[n-1].y, vg.Length(n-1)*room)/2+room)
	}
	for i, t := range tags {
		rest := vg.Length(len(tags)-1-i) * room
		y := max(min(max(t.y, tags[len(tags)-1].y+rest), below-room), c.Min.Y+rest+room/2)
		below = y
		x := at(last, 0).X + 1.1*p.Unit
		p.Mark(c, shapeOf[t.name], vg.Point{X: x, Y: y}, 0.2*p.Unit, mark)
		x += 0.45 * p.Unit
		own := p.Highlighted(words.Name(e.Maker, t.name))
		fit, size := p.Fit(words.Shorten(words.Clean(t.name), words.MaxName), partName, own, c.Max.X-x, 1)
		p.Put(fit[0], size, own, p.Ink, vg.Point{X: x, Y: y - 0.28*p.Unit}, 0)
	}
}
