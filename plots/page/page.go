// Package page provides the page that a chart is drawn on, in the colours of a
// theme: text fitted to a width, axes with round ticks, marks of different
// shapes, rows of estimates, shaded cells for dense plots, a legend.
//
// Lengths are in units of the page, of which its shorter side has 34; ordinary
// text is one unit high. So a chart has the same layout at any size. What a chart
// shows is decided by package plots.
package page

import (
	"image/color"
	"slices"

	"golang.org/x/image/font"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/canvas"
	"pleatstat/plots/words"
)

// Sizes relative to the page's unit, the height of ordinary text.
const (
	unitsPerSide = 34 // units in the shorter side: at 480×270 pixels text is still 8 px high
	labelSize    = 0.94
)

// hinter is implemented by canvases that attach a text to what is drawn between
// the two calls. SVG shows it as a tooltip.
type hinter interface {
	BeginHint(text string)
	EndHint()
}

// Page is the surface one chart is drawn on.
type Page struct {
	draw.Canvas
	Colours
	Unit  vg.Length // height of ordinary text
	fonts *canvas.Typesetter
	hints hinter // nil where the format has none

	Highlight string // this and ByMaker are as in plots.Options
	ByMaker   bool
}

// New returns an empty page on a canvas.
func New(c vg.CanvasSizer, t Colours) *Page {
	w, h := c.Size()
	p := &Page{
		Canvas:  draw.NewCanvas(c, w, h),
		Colours: t,
		Unit:    min(w, h) / unitsPerSide,
		fonts:   canvas.NewTypesetter(),
	}
	p.hints, _ = c.(hinter)
	return p
}

// Hint calls body and attaches s to what body draws, if the format can hold it.
func (p *Page) Hint(s string, body func()) {
	if p.hints == nil {
		body()
		return
	}
	p.hints.BeginHint(s)
	body()
	p.hints.EndHint()
}

// typeface returns the font of the given size in units of the page.
func (p *Page) typeface(size float64, bold bool) plotfont.Font {
	f := plotfont.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Length(size) * p.Unit}
	if bold {
		f.Weight = font.WeightBold
	}
	return f
}

func (p *Page) style(size float64, bold bool, c color.Color) text.Style {
	return text.Style{Color: c, Font: p.typeface(size, bold), Handler: p.fonts}
}

// Width returns the width of one line of text of the given size in units.
func (p *Page) Width(s string, size float64, bold bool) vg.Length {
	return p.fonts.Width(p.fonts.Face(p.typeface(size, bold)), s)
}

// Put draws one line of text with its baseline at pt; align is the fraction
// of its width that lies left of pt.
func (p *Page) Put(s string, size float64, bold bool, c color.Color, pt vg.Point, align float64) {
	face := p.fonts.Face(p.typeface(size, bold))
	if align != 0 {
		pt.X -= vg.Length(align) * p.fonts.Width(face, s)
	}
	p.SetColor(c)
	p.FillString(face, pt, s)
}

// Cut shortens a line to a width, but not below fewest characters.
func (p *Page) Cut(s string, size float64, bold bool, width vg.Length, fewest int) string {
	line := s
	for n := len([]rune(s)); n > fewest && p.Width(line, size, bold) > width; n-- {
		line = words.Shorten(s, n)
	}
	return line
}

// Fit wraps s into at most maxLines lines of the given width, in a smaller size if
// necessary, and returns the lines and their size in units. What does not fit in
// the smallest size is cut off with an ellipsis.
func (p *Page) Fit(s string, size float64, bold bool, width vg.Length, maxLines int) ([]string, float64) {
	const smallest = 0.7 // of the size asked for
	for shrink := 1.0; ; shrink -= 0.06 {
		widths := map[string]float64{} // balance measures the same text many times
		measure := func(t string) float64 {
			w, ok := widths[t]
			if !ok {
				w = float64(p.Width(t, size*shrink, bold))
				widths[t] = w
			}
			return w
		}
		lines := balance(s, float64(width), measure)
		wide := func(l string) bool { return measure(l) > float64(width) }
		if len(lines) <= maxLines && !slices.ContainsFunc(lines, wide) {
			return lines, size * shrink
		}
		if shrink > smallest {
			continue
		}
		lines = wrap(s, float64(width), measure)
		if len(lines) > maxLines {
			lines = lines[:maxLines]
			lines[maxLines-1] += " …"
		}
		for i, l := range lines {
			lines[i] = p.Cut(l, size*shrink, bold, width, 4)
		}
		return lines, size * shrink
	}
}

// PutFit draws one line of text from pt on, fitted to a width by Fit.
func (p *Page) PutFit(s string, size float64, bold bool, c color.Color, pt vg.Point, width vg.Length) {
	lines, size := p.Fit(s, size, bold, width, 1)
	for _, l := range lines {
		p.Put(l, size, bold, c, pt, 0)
	}
}

// LegendItem is one entry of the legend above a chart.
type LegendItem struct {
	Text  string
	Width float64                    // of the sample, in units
	Draw  func(p *Page, at vg.Point) // at the centre of the sample
}

// Key draws the legend below y and returns the y at which it ends.
func (p *Page) Key(items []LegendItem, left, right, y vg.Length) vg.Length {
	if len(items) == 0 {
		return y
	}
	const size = 0.94
	x := left
	y -= 1.75 * p.Unit
	for _, it := range items {
		sample := vg.Length(it.Width) * p.Unit
		w := sample + 0.45*p.Unit + p.Width(it.Text, size, false)
		if x > left && x+w > right {
			x = left
			y -= 1.4 * p.Unit
		}
		it.Draw(p, vg.Point{X: x + sample/2, Y: y + 0.32*p.Unit})
		p.Put(it.Text, size, false, p.Ink, vg.Point{X: x + sample + 0.45*p.Unit, Y: y}, 0)
		x += w + 1.3*p.Unit
	}
	return y - 0.3*p.Unit
}
