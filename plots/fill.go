package plots

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
)

// filler fills paths in a picture, pixel for pixel as vgimg does, which uses
// the same rasteriser: but a mark is looked for in the rows it can be in, not in
// all of the picture's, and where a path covers pixels wholly they are set
// without a blend.
type filler struct {
	img     *image.RGBA
	blend   raster.RGBAPainter
	solid   [4]byte // the colour
	opaque  bool
	path    raster.Path
	low, up fixed.Int26_6 // between which rows the path lies
	few     *raster.Rasterizer
	all     *raster.Rasterizer
}

// fewRows is the height up to which the rasteriser has buffers of its own.
const fewRows = 64

func newFiller(img *image.RGBA) *filler {
	width, height := img.Rect.Dx(), img.Rect.Dy()
	f := &filler{img: img, blend: raster.RGBAPainter{Image: img},
		// The width also says how finely curves are split.
		few: raster.NewRasterizer(width, min(fewRows, height)), all: raster.NewRasterizer(width, height)}
	f.few.UseNonZeroWinding, f.all.UseNonZeroWinding = true, true
	return f
}

// fill fills p, given in the picture's points from its lower left corner.
func (f *filler) fill(p vg.Path, c color.Color) {
	f.outline(p)
	if len(f.path) == 0 {
		return
	}
	f.blend.SetColor(c)
	rgba := color.RGBAModel.Convert(c).(color.RGBA)
	f.solid, f.opaque = [4]byte{rgba.R, rgba.G, rgba.B, rgba.A}, rgba.A == 0xFF

	r := f.all
	if top := f.low.Floor(); top >= 0 && f.up.Ceil()-top < min(fewRows, f.img.Rect.Dy()) {
		r = f.few
		r.Dy = top
		f.lower(fixed.I(top))
	}
	r.Clear()
	r.AddPath(f.path)
	r.Rasterize(f)
}

// Paint sets the spans, which do not overlap. It implements raster.Painter.
func (f *filler) Paint(spans []raster.Span, done bool) {
	rest := spans[:0]
	for _, s := range spans {
		switch {
		case s.Y >= f.img.Rect.Max.Y: // below the picture
		case f.opaque && s.Alpha == 0xFFFF:
			set(f.img.Pix[s.Y*f.img.Stride+4*s.X0:s.Y*f.img.Stride+4*s.X1], f.solid)
		default:
			rest = append(rest, s)
		}
	}
	f.blend.Paint(rest, done)
}

// set fills pixels with one colour.
func set(pix []byte, c [4]byte) {
	for done := copy(pix, c[:]); done < len(pix); {
		done += copy(pix[done:], pix[:done])
	}
}

// outline rewrites p as a path of the rasteriser, with rows counted from the top.
func (f *filler) outline(p vg.Path) {
	f.path, f.low, f.up = f.path[:0], math.MaxInt32, math.MinInt32
	height := float64(f.img.Rect.Dy())
	at := func(x, y float64) fixed.Point26_6 {
		q := fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round((height - y) * 64))}
		f.low, f.up = min(f.low, q.Y), max(f.up, q.Y)
		return q
	}
	var start fixed.Point26_6
	line := func(to fixed.Point26_6) {
		if len(f.path) == 0 {
			start = to
			f.path.Start(to)
			return
		}
		f.path.Add1(to)
	}
	for _, part := range p {
		x, y := part.Pos.X.Dots(dpi), part.Pos.Y.Dots(dpi)
		switch part.Type {
		case vg.MoveComp:
			if len(f.path) > 0 {
				f.path.Add1(start)
			}
			start = at(x, y)
			f.path.Start(start)
		case vg.LineComp:
			line(at(x, y))
		case vg.ArcComp:
			f.arc(x, y, part.Radius.Dots(dpi), part.Start, part.Start+part.Angle, at, line)
		case vg.CloseComp:
			line(start)
		default:
			panic(fmt.Sprintf("plots: a path with a component of type %d", part.Type))
		}
	}
	if len(f.path) > 0 {
		f.path.Add1(start)
	}
}

// arc adds an arc of sixteen parabolas, each through the arc's point halfway.
func (f *filler) arc(x, y, r, from, to float64, at func(x, y float64) fixed.Point26_6, line func(fixed.Point26_6)) {
	const parts = 16
	on := func(angle float64) (float64, float64) {
		sin, cos := math.Sincos(angle)
		return x + r*cos, y + r*sin
	}
	a0 := from
	x0, y0 := on(a0)
	line(at(x0, y0))
	for i := range parts {
		a2 := from + (to-from)*(float64(i+1)/parts)
		x1, y1 := on((a0 + a2) / 2)
		x2, y2 := on(a2)
		f.path.Add2(at(2*x1-x0/2-x2/2, 2*y1-y0/2-y2/2), at(x2, y2))
		a0, x0, y0 = a2, x2, y2
	}
}

// lower takes by off every row of the path.
func (f *filler) lower(by fixed.Int26_6) {
	for i := 0; i < len(f.path); {
		points := int(f.path[i])
		if points == 0 {
			points = 1 // a start
		}
		for k := range points {
			f.path[i+2+2*k] -= by
		}
		i += 2 + 2*points
	}
}
