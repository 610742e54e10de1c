package canvas

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"golang.org/x/image/vector"
	"gonum.org/v1/plot/vg"
)

// filler fills paths in a picture. Only the pixels of a path's bounding box are
// visited.
type filler struct {
	img    *image.RGBA
	raster vector.Rasterizer
	mask   []byte // coverage of each pixel of the path's bounding box, 255 = all of it
}

func newFiller(img *image.RGBA) *filler { return &filler{img: img} }

// fill fills p, whose origin is the lower left corner of the picture, by the
// non-zero winding rule: where parts of p overlap is filled as well.
func (f *filler) fill(p vg.Path, c color.Color) {
	box := f.bounds(p)
	if box.Empty() {
		return
	}
	f.raster.Reset(box.Dx(), box.Dy())
	f.outline(p, box.Min)
	if n := box.Dx() * box.Dy(); cap(f.mask) < n {
		f.mask = make([]byte, n)
	}
	mask := &image.Alpha{Pix: f.mask[:box.Dx()*box.Dy()], Stride: box.Dx(), Rect: image.Rectangle{Max: box.Size()}}
	f.raster.DrawOp = draw.Src
	f.raster.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	rgba := color.RGBAModel.Convert(c).(color.RGBA)
	for y := range box.Dy() {
		at := f.img.PixOffset(box.Min.X, box.Min.Y+y)
		blend(f.img.Pix[at:at+4*box.Dx()], mask.Pix[y*mask.Stride:][:box.Dx()], rgba)
	}
}

// blend paints a row of pixels with c, which has premultiplied alpha, by the
// coverage in mask. Pixels covered wholly or not at all, which are most, are
// handled first.
func blend(pix, mask []byte, c color.RGBA) {
	for i, m := range mask {
		if m == 0 {
			continue
		}
		p := pix[4*i : 4*i+4 : 4*i+4]
		if m == 0xFF && c.A == 0xFF {
			p[0], p[1], p[2], p[3] = c.R, c.G, c.B, c.A
			continue
		}
		// m/255 times c plus 1 - m/255*alpha times the old pixel, rounded.
		over, under := uint32(m), 255*255-uint32(m)*uint32(c.A)
		p[0] = uint8((uint32(c.R)*over*255 + uint32(p[0])*under + 255*255/2) / (255 * 255))
		p[1] = uint8((uint32(c.G)*over*255 + uint32(p[1])*under + 255*255/2) / (255 * 255))
		p[2] = uint8((uint32(c.B)*over*255 + uint32(p[2])*under + 255*255/2) / (255 * 255))
		p[3] = uint8((uint32(c.A)*over*255 + uint32(p[3])*under + 255*255/2) / (255 * 255))
	}
}

// bounds returns the rectangle of the picture's pixels that p can cover.
func (f *filler) bounds(p vg.Path) image.Rectangle {
	left, top := math.Inf(1), math.Inf(1)
	right, bottom := math.Inf(-1), math.Inf(-1)
	for _, part := range p {
		if part.Type == vg.CloseComp {
			continue
		}
		x, y := f.pixel(part.Pos)
		r := part.Radius.Dots(dpi) // 0 except for arcs
		left, right = min(left, x-r), max(right, x+r)
		top, bottom = min(top, y-r), max(bottom, y+r)
	}
	if !(left <= right && top <= bottom) { // no point, or a NaN
		return image.Rectangle{}
	}
	within := func(v float64, most int) int { return int(min(max(v, 0), float64(most))) }
	size := f.img.Rect.Size()
	return image.Rect(within(math.Floor(left), size.X), within(math.Floor(top), size.Y),
		within(math.Ceil(right), size.X), within(math.Ceil(bottom), size.Y))
}

// pixel converts a point of the drawing to pixels from the upper left corner.
func (f *filler) pixel(p vg.Point) (x, y float64) {
	return p.X.Dots(dpi), float64(f.img.Rect.Dy()) - p.Y.Dots(dpi)
}

// outline adds p to the rasteriser, in pixels relative to origin.
func (f *filler) outline(p vg.Path, origin image.Point) {
	at := func(x, y float64) (float32, float32) {
		return float32(x - float64(origin.X)), float32(y - float64(origin.Y))
	}
	began := false
	line := func(x, y float64) {
		if began {
			f.raster.LineTo(at(x, y))
			return
		}
		f.raster.MoveTo(at(x, y))
		began = true
	}
	for _, part := range p {
		x, y := f.pixel(part.Pos)
		switch part.Type {
		case vg.MoveComp:
			if began {
				f.raster.ClosePath()
			}
			f.raster.MoveTo(at(x, y))
			began = true
		case vg.LineComp:
			line(x, y)
		case vg.ArcComp:
			f.arc(x, y, part.Radius.Dots(dpi), part.Start, part.Start+part.Angle, line)
		case vg.CloseComp:
			f.raster.ClosePath()
		default:
			panic(fmt.Sprintf("plots: a path with a component of type %d", part.Type))
		}
	}
	f.raster.ClosePath()
}

// chordError is the largest distance, in pixels, between an arc and the chords
// drawn in its place. It changes the coverage of a pixel by at most 0.02, or 5 of
// 255.
const chordError = 0.02

// arc adds an arc as chords. Angles are in radians, anticlockwise; y points down.
func (f *filler) arc(x, y, r, from, to float64, line func(x, y float64)) {
	parts := max(1, math.Ceil(math.Abs(to-from)*math.Sqrt(r/(8*chordError))))
	for i := range int(parts) + 1 {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/parts)
		line(x+r*cos, y-r*sin)
	}
}
