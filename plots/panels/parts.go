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
	// mostNamed is the largest number of parts drawn in a panel, whose names have
	// to fit beside it.
	mostNamed = 5
	// flattened limits the range of the levels of the parts drawn, as a multiple
	// of the largest deviation within a part: beyond it a change could not be seen.
	flattened = 8.0
)

// namedParts returns the openings of the parts to draw as readings, and the number
// of parts left out. Parts with most openings come first; a part whose level is so
// far from the others that changes could not be seen is left out. The part named
// own, if not "", comes before all others.
func namedParts(points []drift.Observation, own string) (shown []drift.Observation, left int) {
	parts := byPart(points)
	reach := 0.0
	for _, o := range points {
		reach = math.Max(reach, math.Abs(o.Deviation))
	}
	size := func(p partReadings) int {
		if p.name == own {
			return math.MaxInt
		}
		return len(p.points)
	}
	slices.SortFunc(parts, func(a, b partReadings) int { return cmp.Or(cmp.Compare(size(b), size(a)), cmp.Compare(a.name, b.name)) })
	low, high, count := math.Inf(1), math.Inf(-1), 0
	for _, p := range parts {
		l, h := math.Min(low, p.level), math.Max(high, p.level)
		if count == mostNamed || count > 0 && h-l > flattened*reach {
			left++
			continue
		}
		low, high, count = l, h, count+1
		shown = append(shown, p.points...)
	}
	return shown, left
}

// partReadings are the openings of one part; level is the mean from which their
// deviations were taken.
type partReadings struct {
	name   string
	points []drift.Observation
	level  float64
}

// byPart groups openings by part, in order of appearance.
func byPart(points []drift.Observation) []partReadings {
	var parts []partReadings
	at := map[string]int{}
	for _, o := range points {
		i, known := at[o.Part]
		if !known {
			i = len(parts)
			at[o.Part] = i
			parts = append(parts, partReadings{name: o.Part})
		}
		parts[i].points = append(parts[i].points, o)
	}
	for i := range parts {
		p := &parts[i]
		for _, o := range p.points {
			p.level += (o.Value - o.Deviation) / float64(len(p.points))
		}
	}
	return parts
}

// span returns the decimal years of the first and the last opening.
func span(points []drift.Observation) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, o := range points {
		first, last = math.Min(first, o.Year), math.Max(last, o.Year)
	}
	return first, last
}

// partNames returns by what fraction of its length the time axis has to be extended
// to make room for the names of the parts.
func partNames(p *page.Page, shown []drift.Entry, width vg.Length) float64 {
	widest := vg.Length(0)
	for _, e := range shown {
		for _, o := range e.Points {
			widest = max(widest, p.Width(words.Shorten(words.Clean(o.Part), words.MaxName), partName, false))
		}
	}
	const most = 0.4 // of the panel's width
	share := math.Min(most, float64((widest+1.8*p.Unit)/width))
	return share / (1 - share)
}

const partName = 0.78 // size of a part's name, units

// parts draws the readings of each part with the fitted change at the level of the
// part, and to the right of them the part's mark and name.
func (v *Drift) parts(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry, line, mark color.NRGBA) {
	at := page.Projection(c, pl)
	first, last := span(e.Points)
	type tag struct {
		name string
		y    vg.Length
	}
	var tags []tag
	for _, part := range byPart(e.Points) {
		var end yearPoint
		for _, piece := range fitted(e, first, last) {
			c.StrokeLines(p.LineStyle(line, 0.08), c.ClipLinesXY(placed(piece, at, part.level))...)
			end = piece[len(piece)-1]
		}
		tags = append(tags, tag{part.name, at(end.X, part.level+end.Y).Y})
	}
	v.marks(p, c, pl, e, mark)
	// The names are placed beside the ends of the lines without overlap. The grid
	// is covered there, so that the marks beside them don't look like readings.
	left := at(last, 0).X + 0.5*p.Unit
	c.FillPolygon(p.Background, []vg.Point{{X: left, Y: c.Min.Y + 0.05*p.Unit}, {X: c.Max.X, Y: c.Min.Y + 0.05*p.Unit}, c.Max, {X: left, Y: c.Max.Y}})
	shapeOf := partShapes(e.Points)
	slices.SortStableFunc(tags, func(a, b tag) int { return cmp.Compare(b.y, a.y) })
	room := vg.Length(partName*1.15) * p.Unit
	below := c.Max.Y + room/2
	if n := len(tags); n > 0 { // centre the names on the lines if those lie close together
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
		p.PutFit(words.Shorten(words.Clean(t.name), words.MaxName), partName, own, p.Ink, vg.Point{X: x, Y: y - 0.28*p.Unit}, c.Max.X-x)
	}
}
