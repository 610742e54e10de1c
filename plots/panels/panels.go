// Package panels draws how one measure changed over time, in small panels on the
// same scale, one for each maker or part, with their titles, heads and notes.
//
// A panel shows the readings of some of the maker's parts, or deviations from each
// part's mean if the measure is a price or the openings are very many; the fitted
// change (a slope, a bend or a step); and the range of its date. Estimates and
// verdicts are those of package drift: nothing is fitted here.
package panels

import (
	"cmp"
	"image/color"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/labels"
	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/drift"
)

const (
	maxPanels  = 4   // most panels of a chart; fewer if they would be too low
	leastPanel = 3.6 // least height of a legible panel, units
)

// Drift is the chart of one measure, ready to be drawn.
type Drift struct {
	measure  string
	units    words.Units
	entries  []drift.Entry // all that can be drawn, in the order of the panels
	relative bool          // deviations are fractions (prices)
	scale    words.Scale   // of what is drawn
	readings bool          // readings are drawn, not deviations from a mean
	tooFew   int           // entries with too few openings
	// partsLeft counts the parts of the makers shown that are not drawn.
	partsLeft int
}

// New selects what to draw of the entries of a measure; it returns nil if there is
// nothing. If part is not "", that part is always among those drawn of its maker.
func New(entries []drift.Entry, measure, part string, units words.Units) *Drift {
	v := &Drift{measure: measure, units: units}
	makers := slices.ContainsFunc(entries, func(e drift.Entry) bool { return e.Measure == measure && e.Part == "" })
	for _, e := range entries {
		switch {
		case e.Measure != measure || makers && e.Part != "":
		case e.Verdict == drift.TooFew || !page.Finite(e.PerYear):
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
	v.scale = words.ScaleOf(measure, units)
	if v.relative = v.entries[0].Relative; v.relative {
		v.scale = words.Percentages()
	}
	shown := v.shown()
	v.readings = !v.relative && !slices.ContainsFunc(shown, func(e drift.Entry) bool { return len(e.Points) > page.DenseFrom })
	if v.readings {
		for i := range shown {
			var left int
			shown[i].Points, left = namedParts(shown[i].Points, part)
			v.partsLeft += left
		}
	}
	return v
}

// shown returns the entries that have a panel if the page is large enough.
func (v *Drift) shown() []drift.Entry { return v.entries[:min(len(v.entries), maxPanels)] }

// Openings returns the number of openings of the entries shown.
func (v *Drift) Openings() int {
	n := 0
	for _, e := range v.shown() {
		n += len(e.Points)
	}
	return n
}

func finitePoints(points []drift.Observation) []drift.Observation {
	return slices.DeleteFunc(slices.Clone(points), func(o drift.Observation) bool { return !page.Finite(o.Year, o.Deviation) })
}

// dated reports whether the date of the change was located.
func dated(e drift.Entry) bool { return e.Moved() && !e.ChangeFrom.IsZero() }

// stepped reports whether the change was located as a step.
func stepped(e drift.Entry) bool { return dated(e) && page.Finite(e.Step) }

// sort puts the entries that changed first, those with the strongest evidence in
// front, then the others by number of openings.
func (v *Drift) sort() {
	rank := func(e drift.Entry) float64 {
		switch {
		case !e.Moved():
			return 2 - float64(len(e.Points))/math.MaxInt32
		case page.Finite(e.Q):
			return e.Q
		}
		return 1
	}
	slices.SortStableFunc(v.entries, func(a, b drift.Entry) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
}

// Draw draws the panels into area and returns a note on what is not shown.
func (v *Drift) Draw(p *page.Page, area vg.Rectangle) string {
	title := v.noun()
	if !v.readings {
		title += ", difference from the part's own mean"
	}
	area = p.YTitle(v.scale.Title(title), area)

	var cols, rows int
	var h heads
	var tile vg.Rectangle // one panel without its head
	shown := v.shown()
	for ; ; shown = shown[:len(shown)-1] {
		cols, rows = panelGrid(len(shown), area, 1.5)
		tile.Max = vg.Point{X: area.Size().X / vg.Length(cols), Y: area.Size().Y / vg.Length(rows)}
		h = v.headsFor(p, shown, tile.Size().X-2.5*p.Unit)
		tile.Max.Y -= vg.Length(h.height()+1) * p.Unit
		if len(shown) == 1 || tile.Max.Y >= leastPanel*p.Unit {
			break
		}
	}
	head := vg.Length(h.height()) * p.Unit
	x, y, outside := v.axes(shown)
	last := x.Max
	if v.readings {
		x.Max += (x.Max - x.Min) * partNames(p, shown, tile.Size().X)
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
			px.Unlabelled = k+cols < len(shown) // the panel below shows the years
			py.Unlabelled = i > 0
			px.Ticks = page.YearTicks(x.Min, last, max(2, int(tile.Size().X/(4*p.Unit))))
			grid[j][i] = p.NewPlot(px, py, tile)
			grid[j][i].Add(page.Plotter(func(c draw.Canvas, pl *plot.Plot) { v.panel(p, c, pl, shown[k]) }))
		}
	}
	tiles := draw.Tiles{Cols: cols, Rows: rows, PadX: 0.9 * p.Unit, PadY: head + 0.25*p.Unit, PadTop: head}
	for j, row := range plot.Align(grid, tiles, p.In(area)) {
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

// panel draws one panel without its head.
func (v *Drift) panel(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	at := page.Projection(c, pl)
	lineColour, markColour := p.Muted, p.Plain
	if e.Moved() {
		lineColour, markColour = p.Ink, p.Above
	}
	if dated(e) {
		v.changeSpan(p, c, pl, e)
	}
	switch {
	case v.readings:
		v.parts(p, c, pl, e, lineColour, markColour)
	default:
		level := at(pl.X.Min, 0).Y
		c.StrokeLines(p.LineStyle(p.Frame, 0.05), []vg.Point{{X: c.Min.X, Y: level}, {X: c.Max.X, Y: level}})
		if bent(e) {
			v.bend(p, c, pl, e)
		} else if !stepped(e) {
			v.slope(p, c, pl, e)
		}
		v.marks(p, c, pl, e, markColour)
		for _, line := range fitted(e, pl.X.Min, pl.X.Max) {
			c.StrokeLines(p.LineStyle(lineColour, 0.11), c.ClipLinesXY(placed(line, at, 0))...)
		}
	}
	if dated(e) {
		change := decimalYear(e.ChangeFrom)
		when := []vg.Point{at(change, pl.Y.Min), at(change, pl.Y.Max)}
		c.StrokeLines(p.Dashed(lineColour, 0.06), c.ClipLinesXY(when)...)
	}
}

// marks draws the openings, as readings or as deviations. Points beyond the frame
// are drawn at its edge as open marks; more than page.DenseFrom points are drawn
// as shaded cells.
func (v *Drift) marks(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry, colour color.NRGBA) {
	at := page.Projection(c, pl)
	if len(e.Points) > page.DenseFrom {
		g := page.NewHexGrid(c.Rectangle, 0.35*p.Unit)
		for _, o := range e.Points {
			g.Add(at(o.Year, o.Deviation))
		}
		p.DrawHexes(c, g)
		return
	}
	shapeOf := partShapes(e.Points)
	r := p.MarkRadius(len(e.Points)) * 0.85
	edge := c.Rectangle
	edge.Min.Y, edge.Max.Y = edge.Min.Y+r, edge.Max.Y-r
	for _, o := range e.Points {
		draw, y := p.Mark, o.Deviation
		if v.readings {
			y = o.Value
		}
		if y < pl.Y.Min || y > pl.Y.Max {
			draw = p.OpenMark
		}
		p.Hint(v.hint(e, o), func() { draw(c, shapeOf[o.Part], labels.Nearest(edge, at(o.Year, y)), r, colour) })
	}
}

// fitted returns the lines of an entry's fitted change between two years, as
// deviations from a part's mean: the two levels of a step, a bend, or a slope.
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

// placed returns the points of a line on the canvas, raised by the level of a part.
func placed(line []yearPoint, at func(x, y float64) vg.Point, level float64) []vg.Point {
	out := make([]vg.Point, len(line))
	for i, q := range line {
		out[i] = at(q.X, level+q.Y)
	}
	return out
}

// slope shades the 95 % range of the yearly change, through the mean of the points.
func (v *Drift) slope(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	if !page.Finite(e.Low, e.High) {
		return
	}
	at := page.Projection(c, pl)
	m, d := centre(e.Points)
	end := func(x, slope float64) vg.Point { return at(x, d+slope*(x-m)) }
	for _, x := range [...]float64{pl.X.Min, pl.X.Max} {
		wedge := []vg.Point{at(m, d), end(x, e.Low), end(x, e.High)}
		c.FillPolygon(p.Band, c.ClipPolygonXY(wedge))
	}
}

// changeSpan shades the 95 % range of the date of the change.
func (v *Drift) changeSpan(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	if e.ChangeEarly.IsZero() || e.ChangeLate.IsZero() {
		return
	}
	at := page.Projection(c, pl)
	early, late := decimalYear(e.ChangeEarly), decimalYear(e.ChangeLate)
	c.FillPolygon(p.Band, c.ClipPolygonXY([]vg.Point{at(early, pl.Y.Min), at(late, pl.Y.Min),
		at(late, pl.Y.Max), at(early, pl.Y.Max)}))
}

func decimalYear(t time.Time) float64 {
	const days = 365.25
	return float64(t.Year()) + (float64(t.YearDay())-0.5)/days
}

// centre returns the mean year and the mean deviation of the points.
func centre(points []drift.Observation) (year, deviation float64) {
	for _, o := range points {
		year += o.Year / float64(len(points))
		deviation += o.Deviation / float64(len(points))
	}
	return year, deviation
}

// partShapes gives each part a shape, in order of appearance. Shapes repeat if
// there are more parts than shapes.
func partShapes(points []drift.Observation) map[string]page.Shape {
	m := make(map[string]page.Shape)
	for _, o := range points {
		if _, ok := m[o.Part]; !ok {
			m[o.Part] = page.Shape(len(m)) % page.Shapes
		}
	}
	return m
}
