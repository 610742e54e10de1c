package plots

import (
	"image"
	"image/color"
	"image/draw"

	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// dpi makes one point of the drawing one pixel of the picture.
const dpi = 72

// rasterCanvas draws pixels. Text goes straight into the picture, which takes
// a quarter of the time of the general transform; charts never rotate or
// scale what they write.
type rasterCanvas struct {
	*vgimg.Canvas
	img    *image.RGBA
	colour color.Color
	faces  map[plotfont.Font]font.Face
}

// newRaster returns a canvas on img, whatever was drawn there before.
func newRaster(img *image.RGBA, background color.NRGBA) *rasterCanvas {
	ctx := gg.NewContextForRGBA(img)
	ctx.SetLineCapButt()
	ctx.InvertY()
	c := &rasterCanvas{img: img, faces: make(map[plotfont.Font]font.Face)}
	c.Canvas = vgimg.NewWith(vgimg.UseDPI(dpi), vgimg.UseImageWithContext(img, ctx))
	if white := (color.NRGBA{R: 0xFF, G: 0xFF, B: 0xFF, A: 0xFF}); background != white { // which it is already
		draw.Draw(img, img.Bounds(), image.NewUniform(background), image.Point{}, draw.Src)
	}
	return c
}

func (c *rasterCanvas) SetColor(clr color.Color) {
	c.colour = solid(clr)
	c.Canvas.SetColor(clr)
}

func (c *rasterCanvas) FillString(f plotfont.Face, pt vg.Point, s string) {
	if f.Font.Size == 0 || s == "" {
		return
	}
	face := c.faces[f.Font]
	if face == nil {
		face = f.FontFace(dpi)
		c.faces[f.Font] = face
	}
	_, height := c.Size()
	d := font.Drawer{Dst: c.img, Src: image.NewUniform(c.colour), Face: face,
		Dot: fixed.Point26_6{X: subpixels(pt.X), Y: subpixels(height - pt.Y)}}
	d.DrawString(s)
}

// subpixels converts to the 64ths of a pixel that fonts are placed in.
func subpixels(l vg.Length) fixed.Int26_6 { return fixed.Int26_6(l.Points()*64 + 0.5) }
