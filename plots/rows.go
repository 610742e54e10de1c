package plots

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// row is one line of a chart that lists things from top to bottom.
type row struct {
	label  string
	bold   bool
	detail string // at the right end
	hint   string
	draw   func(c draw.Canvas, at func(x float64) vg.Point) // at gives points on the row's own level
}

// Heights of a row in units, with its label beside the drawing or above it.
const (
	rowPitch     = 1.5
	stackedPitch = 2.5
	maxPitch     = 4.5 // few rows do not spread over the whole page
	belowRows    = 3.4 // axis, tick labels and title
	rowLabel     = 0.94
	narrowPage   = 45 // units: on narrower pages labels stand above the drawing
)

func (p *page) stacked() bool { return p.Size().X < narrowPage*p.unit }

// rowsThatFit is how many rows an area holds above its axis.
func (p *page) rowsThatFit(area vg.Rectangle) int {
	pitch := rowPitch
	if p.stacked() {
		pitch = stackedPitch
	}
	return max(3, int((float64(area.Size().Y/p.unit)-belowRows)/pitch))
}

// drawRows draws a horizontal axis and the rows above it.
func (p *page) drawRows(area vg.Rectangle, x axis, rows []row, under func(c draw.Canvas, at func(x, y float64) vg.Point)) {
	stack := p.stacked()
	var left, right vg.Length
	for _, r := range rows {
		left = max(left, p.width(r.label, rowLabel, r.bold))
		right = max(right, p.width(r.detail, rowLabel, false))
	}
	left = min(left, 0.36*area.Size().X) + 0.6*p.unit
	if stack {
		left = 0
	}
	if right > 0 {
		right += 0.6 * p.unit
	}
	if most := vg.Length(float64(len(rows))*maxPitch+belowRows) * p.unit; area.Size().Y > most {
		area.Min.Y = area.Max.Y - most
	}
	inner := area
	inner.Min.X += left
	inner.Max.X -= right

	y := axis{min: -float64(len(rows)) + 0.4, max: 0.6, k: 1, ticks: []plot.Tick{}}
	if stack {
		y.min, y.max = -float64(len(rows))+0.75, 0.75
	}
	pl := p.newPlot(x, y, inner)
	pl.Add(plotter(func(c draw.Canvas, pl *plot.Plot) {
		at := projection(c, pl)
		if under != nil {
			under(c, at)
		}
		for i, r := range rows {
			level := -float64(i)
			if p.highlighted(r.label) {
				r.bold = true
				y := at(x.min, level).Y
				c.SetColor(p.theme.grid)
				c.Fill(vg.Rectangle{Min: vg.Point{X: c.Min.X, Y: y - 0.6*p.unit}, Max: vg.Point{X: c.Max.X, Y: y + 0.6*p.unit}}.Path())
			}
			p.hint(r.hint, func() { r.draw(c, func(x float64) vg.Point { return at(x, level) }) })
			p.rowText(r, at(x.min, level).Y, area, left, right, stack)
		}
	}))
	pl.Draw(p.in(inner))
}

// rowText writes a row's label and detail at height y.
func (p *page) rowText(r row, y vg.Length, area vg.Rectangle, left, right vg.Length, stack bool) {
	base := y - 0.33*rowLabel*p.unit
	room := left - 0.6*p.unit
	at := vg.Point{X: area.Min.X + room, Y: base}
	align := 1.0
	if stack {
		room = area.Size().X
		at = vg.Point{X: area.Min.X, Y: base + 1.05*p.unit}
		align = 0
		p.SetColor(p.background)
		p.Fill(vg.Rectangle{Min: vg.Point{X: at.X, Y: at.Y - 0.2*p.unit},
			Max: vg.Point{X: at.X + min(room, p.width(r.label, rowLabel, r.bold)), Y: at.Y + 0.72*p.unit}}.Path())
	}
	colour := p.muted
	if r.bold {
		colour = p.ink
	}
	p.put(p.cut(r.label, rowLabel, r.bold, room, 6), rowLabel, r.bold, colour, at, align)
	if right > 0 {
		p.put(r.detail, rowLabel, r.bold, colour, vg.Point{X: area.Max.X, Y: base}, 1)
	}
}

// rangeBar draws a horizontal bar between two abscissas of a row.
func (p *page) rangeBar(c draw.Canvas, at func(x float64) vg.Point, low, high float64, height float64, colour color.Color) {
	if !finite(low, high) {
		return
	}
	a, b := at(low), at(high)
	h := vg.Length(height) * p.unit / 2
	c.FillPolygon(colour, c.ClipPolygonXY([]vg.Point{
		{X: a.X, Y: a.Y - h}, {X: b.X, Y: b.Y - h}, {X: b.X, Y: b.Y + h}, {X: a.X, Y: a.Y + h}}))
}
