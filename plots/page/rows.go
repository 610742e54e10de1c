package page

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Row is one row of a chart that lists products, makers or measures.
type Row struct {
	Label  string
	Bold   bool
	Detail string // at the right end
	Hint   string
	Draw   func(c draw.Canvas, at func(x float64) vg.Point) // at maps x to a point at the height of the row
}

// Sizes in units.
const (
	rowPitch     = 1.5 // least height of a row with its label beside the drawing
	stackedPitch = 2.5 // least height of a row with its label above the drawing
	MaxPitch     = 4.5 // most height of a row, so that few rows do not spread over the page
	belowRows    = 3.4 // height of axis, tick labels and title
	RowLabel     = 0.94
	narrowPage   = 45 // labels are above the drawing on narrower pages
)

func (p *Page) stacked() bool { return p.Size().X < narrowPage*p.Unit }

// RowsThatFit returns how many rows an area holds above its axis, at least 3.
func (p *Page) RowsThatFit(area vg.Rectangle) int {
	pitch := rowPitch
	if p.stacked() {
		pitch = stackedPitch
	}
	return max(3, int((float64(area.Size().Y/p.Unit)-belowRows)/pitch))
}

// DrawRows draws a horizontal axis and above it the rows, first row on top. under,
// if not nil, draws beneath the rows; row i is at y = -i.
func (p *Page) DrawRows(area vg.Rectangle, x Axis, rows []Row, under func(c draw.Canvas, at func(x, y float64) vg.Point)) {
	stack := p.stacked()
	var left, right vg.Length
	for _, r := range rows {
		left = max(left, p.Width(r.Label, RowLabel, r.Bold))
		right = max(right, p.Width(r.Detail, RowLabel, false))
	}
	left = min(left, 0.36*area.Size().X) + 0.6*p.Unit
	if stack {
		left = 0
	}
	if right > 0 {
		right += 0.6 * p.Unit
	}
	if most := vg.Length(float64(len(rows))*MaxPitch+belowRows) * p.Unit; area.Size().Y > most {
		area.Min.Y = area.Max.Y - most
	}
	inner := area
	inner.Min.X += left
	inner.Max.X -= right

	y := Axis{Min: -float64(len(rows)) + 0.4, Max: 0.6, K: 1, Ticks: []plot.Tick{}}
	if stack {
		y.Min, y.Max = -float64(len(rows))+0.75, 0.75
	}
	pl := p.NewPlot(x, y, inner)
	pl.Add(Plotter(func(c draw.Canvas, pl *plot.Plot) {
		at := Projection(c, pl)
		if under != nil {
			under(c, at)
		}
		for i, r := range rows {
			level := -float64(i)
			if p.Highlighted(r.Label) {
				r.Bold = true
				y := at(x.Min, level).Y
				c.SetColor(p.Grid)
				c.Fill(vg.Rectangle{Min: vg.Point{X: c.Min.X, Y: y - 0.6*p.Unit}, Max: vg.Point{X: c.Max.X, Y: y + 0.6*p.Unit}}.Path())
			}
			p.Hint(r.Hint, func() { r.Draw(c, func(x float64) vg.Point { return at(x, level) }) })
			p.rowText(r, at(x.Min, level).Y, area, left, right, stack)
		}
	}))
	pl.Draw(p.In(inner))
}

// rowText writes a row's label and detail at height y.
func (p *Page) rowText(r Row, y vg.Length, area vg.Rectangle, left, right vg.Length, stack bool) {
	base := y - 0.33*RowLabel*p.Unit
	room := left - 0.6*p.Unit
	at := vg.Point{X: area.Min.X + room, Y: base}
	align := 1.0
	if stack {
		room = area.Size().X
		at = vg.Point{X: area.Min.X, Y: base + 1.05*p.Unit}
		align = 0
		p.SetColor(p.Background)
		p.Fill(vg.Rectangle{Min: vg.Point{X: at.X, Y: at.Y - 0.2*p.Unit},
			Max: vg.Point{X: at.X + min(room, p.Width(r.Label, RowLabel, r.Bold)), Y: at.Y + 0.72*p.Unit}}.Path())
	}
	colour := p.Muted
	if r.Bold {
		colour = p.Ink
	}
	p.Put(p.Cut(r.Label, RowLabel, r.Bold, room, 6), RowLabel, r.Bold, colour, at, align)
	if right > 0 {
		p.Put(r.Detail, RowLabel, r.Bold, colour, vg.Point{X: area.Max.X, Y: base}, 1)
	}
}

// RangeBar draws a horizontal bar from low to high, height units high; none if an
// end is not finite.
func (p *Page) RangeBar(c draw.Canvas, at func(x float64) vg.Point, low, high float64, height float64, colour color.Color) {
	if !Finite(low, high) {
		return
	}
	a, b := at(low), at(high)
	h := vg.Length(height) * p.Unit / 2
	c.FillPolygon(colour, c.ClipPolygonXY([]vg.Point{
		{X: a.X, Y: a.Y - h}, {X: b.X, Y: b.Y - h}, {X: b.X, Y: b.Y + h}, {X: a.X, Y: a.Y + h}}))
}
