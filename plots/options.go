package plots

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"pleatstat/plots/page"
)

// ErrNothingToDraw is returned (wrapped, with the reason) by every chart
// function whose result holds no point that can be drawn.
var ErrNothingToDraw = errors.New("nothing to draw")

// Format is a file format of a chart.
type Format string

// The formats of Render.
const (
	PNG Format = "png"
	SVG Format = "svg"
	PDF Format = "pdf"
)

// Size is the size of a chart in pixels (SVG and PDF: user units and points).
type Size struct{ Width, Height int }

// Sizes outside these limits are refused: below the smaller one no text is
// legible, above the larger one a picture needs over a gigabyte to draw.
const (
	minSide = 240   // px
	maxSide = 16000 // px
)

// DefaultSize is what a zero Size stands for.
func DefaultSize() Size { return Size{Width: 1920, Height: 1080} }

// ParseSize reads "1920x1080" or "1920×1080" (width first, pixels).
func ParseSize(s string) (Size, error) {
	w, h, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(s, "×", "x")), "x")
	width, err1 := strconv.Atoi(strings.TrimSpace(w))
	height, err2 := strconv.Atoi(strings.TrimSpace(h))
	if err1 != nil || err2 != nil {
		return Size{}, fmt.Errorf("size %q: want WIDTHxHEIGHT in pixels, for example 1920x1080", s)
	}
	size := Size{Width: width, Height: height}
	return size, size.validate()
}

func (s Size) validate() error {
	if s.Width < minSide || s.Height < minSide || s.Width > maxSide || s.Height > maxSide {
		return fmt.Errorf("size %dx%d: each side must be between %d and %d pixels", s.Width, s.Height, minSide, maxSide)
	}
	return nil
}

// Theme names a set of colours.
type Theme string

// The themes of Render.
const (
	Light Theme = "light"
	Dark  Theme = "dark"
)

func (t Theme) colours() page.Colours {
	if t == Dark {
		return page.Dark()
	}
	return page.Light()
}

// Options say how a chart is drawn. The zero value means a light PNG of
// 1920×1080 pixels under the chart's own title.
type Options struct {
	Size        Size   // zero = DefaultSize
	Format      Format // "" = PNG
	Theme       Theme  // "" = Light
	Transparent bool   // leave the background out (the theme still decides the ink)
	Title       string // replaces the chart's own title
	Highlight   string // "Maker Part" to ring and name wherever it is drawn
	Foot        string // a line at the foot of the page, "" = none
	ByMaker     bool   // marks of a trend tell makers apart, with a key of their own
}

// withDefaults returns o with every zero field replaced, or an error that
// lists the right values.
func (o Options) withDefaults() (Options, error) {
	if o.Size == (Size{}) {
		o.Size = DefaultSize()
	}
	if err := o.Size.validate(); err != nil {
		return o, err
	}
	switch o.Format {
	case "":
		o.Format = PNG
	case PNG, SVG, PDF:
	default:
		return o, fmt.Errorf("format %q: want png, svg or pdf", o.Format)
	}
	switch o.Theme {
	case "":
		o.Theme = Light
	case Light, Dark:
	default:
		return o, fmt.Errorf("theme %q: want light or dark", o.Theme)
	}
	return o, nil
}
