package page

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Shape is the outline of a mark. Kinds of flags differ in shape, so that they can
// be distinguished without their colour.
type Shape int

const (
	Circle Shape = iota
	TriangleUp
	TriangleDown
	Diamond
	Square
	Pentagon
	Star
	Shapes // number of shapes
)

// outline returns the path of a shape of radius r around pt. Shapes are scaled to
// look equally large.
func (s Shape) outline(pt vg.Point, r vg.Length) vg.Path {
	var path vg.Path
	if s == Circle {
		path.Move(vg.Point{X: pt.X + r, Y: pt.Y})
		path.Arc(pt, r, 0, 2*math.Pi)
		path.Close()
		return path
	}
	corners, turn, scale := 3, math.Pi/2, 1.28
	switch s {
	case TriangleDown:
		turn = -math.Pi / 2
	case Diamond:
		corners, scale = 4, 1.28
	case Square:
		corners, turn, scale = 4, math.Pi/4, 1.25
	case Pentagon:
		corners, scale = 5, 1.15
	case Star:
		corners, scale = 10, 1.4
	}
	for i := range corners {
		q := float64(r) * scale
		if s == Star && i%2 == 1 {
			q *= 0.45
		}
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(corners))
		v := vg.Point{X: pt.X + vg.Length(q*cos), Y: pt.Y + vg.Length(q*sin)}
		if i == 0 {
			path.Move(v)
		} else {
			path.Line(v)
		}
	}
	path.Close()
	return path
}

// Reach returns an upper bound of the distance from the centre to the outside of a
// mark of radius r, with its border.
func Reach(r vg.Length) vg.Length { return 1.5 * r }

// Mark draws a filled mark with a thin rim of the background, so that
// overlapping marks stay apart.
func (p *Page) Mark(c draw.Canvas, s Shape, pt vg.Point, r vg.Length, fill color.NRGBA) {
	c.SetColor(p.Background)
	c.Fill(s.outline(pt, r+min(0.12*r, 0.04*p.Unit)))
	c.SetColor(fill)
	c.Fill(s.outline(pt, r))
}

// OpenMark draws a mark as a thick outline.
func (p *Page) OpenMark(c draw.Canvas, s Shape, pt vg.Point, r vg.Length, rim color.NRGBA) {
	path := s.outline(pt, r*0.8)
	c.SetColor(p.Background)
	c.Fill(path)
	c.SetLineStyle(draw.LineStyle{Color: rim, Width: r * 0.3})
	c.Stroke(path)
}

// MarkRadius returns the radius of an ordinary mark among n; more marks are
// smaller.
func (p *Page) MarkRadius(n int) vg.Length {
	const full, few = 0.27, 80 // radius in units of up to few marks
	if n <= few {
		return full * p.Unit
	}
	return vg.Length(math.Max(0.11, full*math.Pow(few/float64(n), 0.3))) * p.Unit
}

// Dashed returns the style of a dashed line of the given width in units.
func (p *Page) Dashed(c color.Color, width float64) draw.LineStyle {
	s := p.LineStyle(c, width)
	s.Dashes = []vg.Length{0.35 * p.Unit, 0.25 * p.Unit}
	return s
}

// LineStyle returns the style of a solid line of the given width in units.
func (p *Page) LineStyle(c color.Color, width float64) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: vg.Length(width) * p.Unit}
}
