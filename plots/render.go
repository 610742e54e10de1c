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

// Chart is a chart ready to be drawn in any size, format and theme. Charts
// are made by this package's chart functions.
type Chart struct {
	Title    string // the finding
	Subtitle string // what is shown, in plain words
	Source   Source

	counted string // what the marks are and how many, for the corner
	legend  []page.LegendItem
	makers  makerMarks // whose marks can be told apart; nil = nobody's
	// body draws into area and returns a note for the foot of the page ("" = none).
	body func(p *page.Page, area vg.Rectangle) string
}

// Source says what data a chart rests on; it is printed in the corner.
type Source struct {
	File     string      // as the user names it; only its last element is shown
	Where    []string    // conditions that every opening meets
	Openings int         // rows used; 0 = not said
	From, To int         // years of the first and last opening; 0 = not said
	Units    words.Units // nil = base units
}

func (s Source) withDefaults() Source {
	if s.Units == nil {
		s.Units = dataset.Units{}
	}
	return s
}

// Painter draws one chart after another in the same memory. The zero value is
// ready; it may not be used by several goroutines at once.
type Painter struct{ raster canvas.Raster }

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

// file is a file of the options' size and format with nothing on it but the ground.
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
