package plots

import (
	"bytes"
	"fmt"
	"image"

	"gonum.org/v1/plot/vg"
)

// Chart is a chart ready to be drawn in any size, format and theme. Charts
// are made by this package's chart functions.
type Chart struct {
	Title    string // the finding
	Subtitle string // what is shown, in plain words
	Source   Source

	counted string // what the marks are and how many, for the corner
	legend  []legendItem
	makers  makerMarks // whose marks can be told apart; nil = nobody's
	// body draws into area and returns a note for the foot of the page ("" = none).
	body func(p *page, area vg.Rectangle) string
}

// Painter draws one chart after another in the same memory. The zero value is
// ready; it may not be used by several goroutines at once.
type Painter struct {
	canvas *rasterCanvas
	png    encoder
	out    bytes.Buffer
}

// Render draws a chart into memory and returns the bytes of the file. The
// same chart and options give the same bytes.
func Render(c *Chart, o Options) ([]byte, error) { return new(Painter).Render(c, o) }

// Render is the function Render with the painter's memory.
func (painter *Painter) Render(c *Chart, o Options) ([]byte, error) {
	if c == nil || c.body == nil {
		return nil, ErrNothingToDraw
	}
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	w, h := vg.Length(o.Size.Width), vg.Length(o.Size.Height)
	th := themeOf(o.Theme)
	b := &painter.out
	b.Reset()
	switch o.Format {
	case SVG:
		canvas := newSVG(w, h, c.describe(o))
		newPage(canvas, th).sheet(c, o)
		_, err = canvas.WriteTo(b)
	case PDF:
		canvas := newPDF(w, h, c.describe(o))
		newPage(canvas, th).sheet(c, o)
		_, err = canvas.WriteTo(b)
	default:
		ground := th.background
		if o.Transparent {
			ground.A = 0
		}
		if size := image.Rect(0, 0, o.Size.Width, o.Size.Height); painter.canvas == nil || painter.canvas.img.Rect != size {
			painter.canvas = newRaster(size)
		}
		painter.canvas.clear(ground)
		newPage(painter.canvas, th).sheet(c, o)
		err = painter.png.encode(b, painter.canvas.img)
	}
	if err != nil {
		return nil, fmt.Errorf("drawing %q: %w", c.Title, err)
	}
	return bytes.Clone(b.Bytes()), nil
}

// description is what a file says about itself.
type description struct{ title, text string }

func (c *Chart) describe(o Options) description {
	d := description{title: c.Title, text: c.Subtitle}
	if o.Title != "" {
		d.title = clean(o.Title)
	}
	return d
}
