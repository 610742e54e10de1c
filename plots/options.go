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

// Limits of each side of a chart: below minSide no text is legible, and a
// picture of maxSide by maxSide takes a gigabyte of memory.
const (
	minSide = 240   // px
	maxSide = 16000 // px
)

// DefaultSize returns the size that a zero Size means.
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
// 1920×1080 pixels with the chart's own title.
type Options struct {
	Size        Size   // zero = DefaultSize
	Format      Format // "" = PNG
	Theme       Theme  // "" = Light
	Transparent bool   // no background; the theme still decides the colours
	Title       string // replaces the chart's own title
	Highlight   string // "Maker Part": the part to ring and name wherever it is drawn
	Foot        string // line at the foot of the page; "" = none
	ByMaker     bool   // each maker of a trend gets its own mark, explained in a second legend
}

// withDefaults returns o with every zero field replaced by its default, or an
// error that lists the valid values.
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
