package plots

import (
	"cmp"
	"image/color"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/drift"
)

const (
	maxPanels  = 4   // makers one drift chart shows, fewer where panels get too low
	leastPanel = 3.6 // units: the least height of a panel that can be read
)

type driftView struct {
	measure  string
	units    Units
	entries  []drift.Entry // every one that can be drawn
	relative bool
	readings bool // drawn as read, not as deviations from a mean
	tooFew   int
	// partsLeft counts the parts of the makers shown that are not drawn.
	partsLeft int
}

// newDrift chooses what is drawn of a measure's entries; nil where there is nothing.
// The part named, "" for none, is among those drawn of its maker.
func newDrift(entries []drift.Entry, measure, part string, units Units) *driftView {
	v := &driftView{measure: measure, units: units}
	makers := slices.ContainsFunc(entries, func(e drift.Entry) bool { return e.Measure == measure && e.Part == "" })
	for _, e := range entries {
		switch {
		case e.Measure != measure || makers && e.Part != "":
		case e.Verdict == drift.TooFew || !finite(e.PerYear):
			v.tooFew++
		default:
			if e.Points = finitePoints(e.Points); len(e.Points) > 0 {
				v.entries = append(v.entries, e)
			}
		}
	}
	if len(v.entries) == 0 {
		return nil
	}
	v.sort()
	v.relative = v.entries[0].Relative
	shown := v.shown()
	v.readings = !v.relative && !slices.ContainsFunc(shown, func(e drift.Entry) bool { return len(e.Points) > denseFrom })
	if v.readings {
		for i := range shown {
			var left int
			shown[i].Points, left = namedParts(shown[i].Points, part)
			v.partsLeft += left
		}
	}
	return v
}

// shown are the entries that have a panel, where the page has room for all.
func (v *driftView) shown() []drift.Entry { return v.entries[:min(len(v.entries), maxPanels)] }

// openings counts those of the entries shown.
func (v *driftView) openings() int {
	n := 0
	for _, e := range v.shown() {
		n += len(e.Points)
	}
	return n
}

func finitePoints(points []drift.Observation) []drift.Observation {
	out := make([]drift.Observation, 0, len(points))
	for _, o := range points {
		if finite(o.Year, o.Deviation) {
			out = append(out, o)
		}
	}
	return out
}

// dated reports whether the date of the change was located.
func dated(e drift.Entry) bool { return e.Moved() && !e.ChangeFrom.IsZero() }

// stepped reports whether the change was located as a step.
func stepped(e drift.Entry) bool { return dated(e) && finite(e.Step) }

// sort puts the makers that changed first, strongest evidence first, then those
// opened most, whose steadiness is known best.
func (v *driftView) sort() {
	rank := func(e drift.Entry) float64 {
		switch {
		case !e.Moved():
			return 2 - float64(len(e.Points))/math.MaxInt32
		case finite(e.Q):
			return e.Q
		}
		return 1
	}
	slices.SortStableFunc(v.entries, func(a, b drift.Entry) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
}

// scale is what deviations are multiplied by for display.
func (v *driftView) scale() float64 {
	if v.relative {
		return 100
	}
	return perBase(v.measure, v.units)
}

func (v *driftView) symbol() string {
	if v.relative {
		return "%"
	}
	return clean(v.units.Of(v.measure).Symbol)
}

func (v *driftView) draw(p *page, area vg.Rectangle) string {
	title := v.noun()
	if !v.readings {
		title += ", difference from the part's own mean"
	}
	if s := v.symbol(); s != "" {
		title += " (" + s + ")"
	}
	area = p.yTitle(title, area)

	var cols, rows int
	var h heads
	var tile vg.Rectangle // one panel without its head
	shown := v.shown()
	for ; ; shown = shown[:len(shown)-1] {
		cols, rows = panelGrid(len(shown), area, 1.5)
		tile.Max = vg.Point{X: area.Size().X / vg.Length(cols), Y: area.Size().Y / vg.Length(rows)}
		h = v.headsFor(p, shown, tile.Size().X-2.5*p.unit)
		tile.Max.Y -= vg.Length(h.height()+1) * p.unit
		if len(shown) == 1 || tile.Max.Y >= leastPanel*p.unit {
			break
		}
	}
	head := vg.Length(h.height()) * p.unit
	x, y, outside := v.axes(shown)
	last := x.max
	if v.readings {
		x.max += (x.max - x.min) * partNames(p, shown, tile.Size().X)
	}
	grid := make([][]*plot.Plot, rows)
	for j := range grid {
		grid[j] = make([]*plot.Plot, cols)
		for i := range grid[j] {
			k := j*cols + i
			if k >= len(shown) {
				continue
			}
			px, py := x, y
			px.silent = k+cols < len(shown) // a panel below shows the years
			py.silent = i > 0
			px.ticks = yearTicks(x.min, last, max(2, int(tile.Size().X/(4*p.unit))))
			grid[j][i] = p.newPlot(px, py, tile)
			grid[j][i].Add(plotter(func(c draw.Canvas, pl *plot.Plot) { v.panel(p, c, pl, shown[k]) }))
		}
	}
	tiles := draw.Tiles{Cols: cols, Rows: rows, PadX: 0.9 * p.unit, PadY: head + 0.25*p.unit, PadTop: head}
	for j, row := range plot.Align(grid, tiles, p.in(area)) {
		for i, c := range row {
			if pl := grid[j][i]; pl != nil {
				pl.Draw(c)
				data := pl.DataCanvas(c)
				v.head(p, data, shown[j*cols+i], h)
			}
		}
	}
	return v.note(outside, len(v.entries)-len(shown))
}

// panel draws one maker's openings with slope and step.
func (v *driftView) panel(p *page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	at := projection(c, pl)
	lineColour, markColour := p.muted, p.plain
	if e.Moved() {
		lineColour, markColour = p.ink, p.above
	}
	if dated(e) {
		v.changeSpan(p, c, pl, e)
	}
	switch {
	case v.readings:
		v.parts(p, c, pl, e, lineColour, markColour)
	default:
		level := at(pl.X.Min, 0).Y
		c.StrokeLines(p.lineStyle(p.frame, 0.05), []vg.Point{{X: c.Min.X, Y: level}, {X: c.Max.X, Y: level}})
		if bent(e) {
			v.bend(p, c, pl, e)
		} else if !stepped(e) {
			v.slope(p, c, pl, e)
		}
		v.marks(p, c, pl, e, markColour)
		for _, line := range fitted(e, pl.X.Min, pl.X.Max) {
			c.StrokeLines(p.lineStyle(lineColour, 0.11), c.ClipLinesXY(placed(line, at, 0))...)
		}
	}
	if dated(e) {
		change := decimalYear(e.ChangeFrom)
		when := []vg.Point{at(change, pl.Y.Min), at(change, pl.Y.Max)}
		c.StrokeLines(p.dashed(lineColour, 0.06), c.ClipLinesXY(when)...)
	}
}

// marks draws the openings: as read, or as deviations. What is beyond the frame
// is drawn open at its edge.
func (v *driftView) marks(p *page, c draw.Canvas, pl *plot.Plot, e drift.Entry, colour color.NRGBA) {
	at := projection(c, pl)
	if len(e.Points) > denseFrom {
		g := newHexGrid(c.Rectangle, 0.35*p.unit)
		for _, o := range e.Points {
			g.add(at(o.Year, o.Deviation))
		}
		p.drawHexes(c, g)
		return
	}
	shapeOf := partShapes(e.Points)
	r := p.markRadius(len(e.Points)) * 0.85
	edge := c.Rectangle
	edge.Min.Y, edge.Max.Y = edge.Min.Y+r, edge.Max.Y-r
	for _, o := range e.Points {
		draw, y := p.mark, o.Deviation
		if v.readings {
			y = o.Value
		}
		if y < pl.Y.Min || y > pl.Y.Max {
			draw = p.openMark
		}
		p.hint(v.hint(e, o), func() { draw(c, shapeOf[o.Part], nearest(edge, at(o.Year, y)), r, colour) })
	}
}

// fitted are the lines of an entry's change, as deviations from a part's mean:
// two levels of a step, a bend, or a slope.
func fitted(e drift.Entry, from, to float64) [][]yearPoint {
	switch {
	case stepped(e):
		change, before := decimalYear(e.ChangeFrom), 0.0
		for _, o := range e.Points {
			d := o.Deviation
			if o.Year >= change {
				d -= e.Step
			}
			before += d / float64(len(e.Points))
		}
		return [][]yearPoint{{{from, before}, {change, before}}, {{change, before + e.Step}, {to, before + e.Step}}}
	case bent(e):
		line := bendLine(e, from, to, e.ChangePerYear)
		return [][]yearPoint{line[:]}
	}
	m, d := centre(e.Points)
	return [][]yearPoint{{{from, d + e.PerYear*(from-m)}, {to, d + e.PerYear*(to-m)}}}
}

// placed are the points of a line on the canvas, lifted by a part's level.
func placed(line []yearPoint, at func(x, y float64) vg.Point, level float64) []vg.Point {
	out := make([]vg.Point, len(line))
	for i, q := range line {
		out[i] = at(q.X, level+q.Y)
	}
	return out
}

// slope shades between the ends of the yearly change's range, turned about
// the mean of the points.
func (v *driftView) slope(p *page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	if !finite(e.Low, e.High) {
		return
	}
	at := projection(c, pl)
	m, d := centre(e.Points)
	end := func(x, slope float64) vg.Point { return at(x, d+slope*(x-m)) }
	for _, x := range [...]float64{pl.X.Min, pl.X.Max} {
		wedge := []vg.Point{at(m, d), end(x, e.Low), end(x, e.High)}
		c.FillPolygon(p.theme.band, c.ClipPolygonXY(wedge))
	}
}

// changeSpan shades the range of dates from which the change may have come.
func (v *driftView) changeSpan(p *page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	if e.ChangeEarly.IsZero() || e.ChangeLate.IsZero() {
		return
	}
	at := projection(c, pl)
	early, late := decimalYear(e.ChangeEarly), decimalYear(e.ChangeLate)
	c.FillPolygon(p.theme.band, c.ClipPolygonXY([]vg.Point{at(early, pl.Y.Min), at(late, pl.Y.Min),
		at(late, pl.Y.Max), at(early, pl.Y.Max)}))
}

func decimalYear(t time.Time) float64 {
	const days = 365.25
	return float64(t.Year()) + (float64(t.YearDay())-0.5)/days
}

// centre is the mean year and deviation of the points.
func centre(points []drift.Observation) (year, deviation float64) {
	for _, o := range points {
		year += o.Year / float64(len(points))
		deviation += o.Deviation / float64(len(points))
	}
	return year, deviation
}

// partShapes gives each part a shape, in order of appearance. With more parts
// than shapes, shapes repeat.
func partShapes(points []drift.Observation) map[string]shape {
	m := make(map[string]shape)
	for _, o := range points {
		if _, ok := m[o.Part]; !ok {
			m[o.Part] = shape(len(m)) % shapes
		}
	}
	return m
}
