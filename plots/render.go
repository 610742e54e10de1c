package plots

import (
	"bytes"
	"fmt"
	"image/color"

	"gonum.org/v1/plot/vg"

	"pleatstat/dataset"
	"pleatstat/plots/canvas"
	"pleatstat/plots/page"
	"pleatstat/plots/words"
)

// Chart is a chart ready to be drawn in any size, format and theme. It is made
// by one of this package's chart functions.
type Chart struct {
	Title    string // states the finding
	Subtitle string // says what is shown
	Source   Source

	counted string // number and kind of the marks, for the corner
	legend  []page.LegendItem
	makers  makerMarks // makers with marks of their own; nil = none
	// body draws into area and returns a note for the footer ("" = none).
	body func(p *page.Page, area vg.Rectangle) string
}

// Source describes the data behind a chart; it is printed in the footer.
type Source struct {
	File     string      // path as the user gave it; only its last element is shown
	Where    []string    // conditions by which the openings were filtered
	Openings int         // number of openings; 0 = not shown
	From, To int         // years of the first and last opening; 0 = not shown
	Units    words.Units // nil = base units
}

func (s Source) withDefaults() Source {
	if s.Units == nil {
		s.Units = dataset.Units{}
	}
	return s
}

// Painter draws one chart after another, reusing its memory. The zero value is
// ready to use. A Painter must not be used by several goroutines at once.
type Painter struct{ raster canvas.Raster }

// Render draws a chart and returns the bytes of the file. The same chart and
// options give the same bytes. Errors: ErrNothingToDraw for a nil chart, or
// options that are not valid.
func Render(c *Chart, o Options) ([]byte, error) { return new(Painter).Render(c, o) }

// Render is like the function Render but reuses the painter's memory.
func (painter *Painter) Render(c *Chart, o Options) ([]byte, error) {
	if c == nil || c.body == nil {
		return nil, ErrNothingToDraw
	}
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	th := o.Theme.colours()
	ground := th.Background
	if o.Transparent {
		ground.A = 0
	}
	file := painter.file(o, ground, canvas.Description{Title: c.title(o), Text: c.Subtitle})
	c.draw(page.New(file, th), o)
	var out bytes.Buffer
	if _, err := file.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("drawing %q: %w", c.Title, err)
	}
	return out.Bytes(), nil
}

// file returns an empty file of the options' size and format, filled with the
// ground colour unless that is transparent.
func (painter *Painter) file(o Options, ground color.NRGBA, about canvas.Description) vg.CanvasWriterTo {
	var file vg.CanvasWriterTo
	corner := vg.Point{X: vg.Length(o.Size.Width), Y: vg.Length(o.Size.Height)}
	switch o.Format {
	case SVG:
		file = canvas.NewSVG(corner.X, corner.Y, about)
	case PDF:
		file = canvas.NewPDF(corner.X, corner.Y, about)
	default:
		painter.raster.Reset(o.Size.Width, o.Size.Height, ground)
		return &painter.raster
	}
	if ground.A > 0 {
		file.SetColor(ground)
		file.Fill(vg.Rectangle{Max: corner}.Path())
	}
	return file
}
