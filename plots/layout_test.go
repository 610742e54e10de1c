package plots

import (
	"image"
	"image/color"
	"testing"

	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"pleatstat/plots/page"
)

// textCanvas is a canvas that only records where text was written.
type textCanvas struct {
	w, h  vg.Length
	texts []writtenText
}

type writtenText struct {
	s    string
	rect vg.Rectangle
	size vg.Length
}

func (c *textCanvas) Size() (w, h vg.Length)              { return c.w, c.h }
func (c *textCanvas) SetLineWidth(vg.Length)              {}
func (c *textCanvas) SetLineDash([]vg.Length, vg.Length)  {}
func (c *textCanvas) SetColor(color.Color)                {}
func (c *textCanvas) Rotate(float64)                      {}
func (c *textCanvas) Translate(vg.Point)                  {}
func (c *textCanvas) Scale(x, y float64)                  {}
func (c *textCanvas) Push()                               {}
func (c *textCanvas) Pop()                                {}
func (c *textCanvas) Stroke(vg.Path)                      {}
func (c *textCanvas) Fill(vg.Path)                        {}
func (c *textCanvas) DrawImage(vg.Rectangle, image.Image) {}
func (c *textCanvas) FillString(f plotfont.Face, pt vg.Point, s string) {
	// Letters reach from a little below the baseline to the height of capitals.
	size := f.Font.Size
	c.texts = append(c.texts, writtenText{s, vg.Rectangle{
		Min: vg.Point{X: pt.X, Y: pt.Y - 0.2*size},
		Max: vg.Point{X: pt.X + f.Width(s), Y: pt.Y + 0.72*size},
	}, size})
}

// checkLayout draws a chart and reports text that overlaps, leaves the page
// or is too small to read on a phone.
func checkLayout(t *testing.T, c *Chart, size Size) {
	t.Helper()
	canvas := &textCanvas{w: vg.Length(size.Width), h: vg.Length(size.Height)}
	c.draw(page.New(canvas, Light.colours()), Options{})
	// Text of 1/60 of the shorter side is 4.5 px high at 480×270.
	smallest := min(canvas.w, canvas.h) / 60
	if len(canvas.texts) == 0 {
		t.Error("no text was written")
	}
	for i, a := range canvas.texts {
		if a.rect.Min.X < 0 || a.rect.Min.Y < 0 || a.rect.Max.X > canvas.w || a.rect.Max.Y > canvas.h {
			t.Errorf("%v: %q leaves the page: %v", size, a.s, a.rect)
		}
		if a.size < smallest {
			t.Errorf("%v: %q is only %v high", size, a.s, a.size)
		}
		for _, b := range canvas.texts[:i] {
			least := 0.02 * (a.size + b.size)
			if min(a.rect.Max.X, b.rect.Max.X)-max(a.rect.Min.X, b.rect.Min.X) > least &&
				min(a.rect.Max.Y, b.rect.Max.Y)-max(a.rect.Min.Y, b.rect.Min.Y) > least {
				t.Errorf("%v: %q overlaps %q", size, a.s, b.s)
			}
		}
	}
}

func screenSizes() []Size {
	return []Size{{1920, 1080}, {1080, 1920}, {3840, 2160}, {1080, 1080}, {480, 270}}
}
