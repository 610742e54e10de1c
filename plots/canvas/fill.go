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

// filler fills paths in a picture. A mark is looked for in the pixels it can be
// in, not in all of the picture's.
type filler struct {
	img    *image.RGBA
	raster vector.Rasterizer
	mask   []byte // of the path's box: how much of each pixel is covered, 255 = all
}

func newFiller(img *image.RGBA) *filler { return &filler{img: img} }

// fill fills p, given in the picture's points from its lower left corner, also
// where its parts overlap.
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

// blend paints a row of pixels with c (premultiplied) as far as mask covers
// each. Most of the pixels in the box of a path are covered wholly or not at all.
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
		// m/255 of c over 1 - m/255 * alpha of what is there, rounded.
		over, under := uint32(m), 255*255-uint32(m)*uint32(c.A)
		p[0] = uint8((uint32(c.R)*over*255 + uint32(p[0])*under + 255*255/2) / (255 * 255))
		p[1] = uint8((uint32(c.G)*over*255 + uint32(p[1])*under + 255*255/2) / (255 * 255))
		p[2] = uint8((uint32(c.B)*over*255 + uint32(p[2])*under + 255*255/2) / (255 * 255))
		p[3] = uint8((uint32(c.A)*over*255 + uint32(p[3])*under + 255*255/2) / (255 * 255))
	}
}

// bounds are the picture's pixels that p can cover.
func (f *filler) bounds(p vg.Path) image.Rectangle {
	left, top := math.Inf(1), math.Inf(1)
	right, bottom := math.Inf(-1), math.Inf(-1)
	for _, part := range p {
		if part.Type == vg.CloseComp {
			continue
		}
		x, y := f.pixel(part.Pos)
		r := part.Radius.Dots(dpi) // 0 but for arcs
		left, right = min(left, x-r), max(right, x+r)
		top, bottom = min(top, y-r), max(bottom, y+r)
	}
	if !(left <= right && top <= bottom) { // no point, or one that is not a number
		return image.Rectangle{}
	}
	within := func(v float64, most int) int { return int(min(max(v, 0), float64(most))) }
	size := f.img.Rect.Size()
	return image.Rect(within(math.Floor(left), size.X), within(math.Floor(top), size.Y),
		within(math.Ceil(right), size.X), within(math.Ceil(bottom), size.Y))
}

// pixel is a point of the drawing in pixels from the upper left corner.
func (f *filler) pixel(p vg.Point) (x, y float64) {
	return p.X.Dots(dpi), float64(f.img.Rect.Dy()) - p.Y.Dots(dpi)
}

// outline draws p as seen from origin.
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

// chordError is how far, in pixels, the chords that stand for an arc may lie
// inside of it: less than one of the 256 steps in which a pixel is shaded makes.
const chordError = 0.02

// arc adds an arc as chords. Angles run against the clock, rows downwards.
func (f *filler) arc(x, y, r, from, to float64, line func(x, y float64)) {
	parts := max(1, math.Ceil(math.Abs(to-from)*math.Sqrt(r/(8*chordError))))
	for i := range int(parts) + 1 {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/parts)
		line(x+r*cos, y-r*sin)
	}
}
