// Package page is the page a chart is drawn on: text that fits its width, axes
// with round ticks, marks told apart by shape, rows one below the other, shaded
// cells of dense plots, a key, in the colours of a theme.
//
// Lengths are given in units of the page, the height of ordinary text, so that a
// chart looks the same at any size. What is drawn, and why, is the affair of the
// charts.
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
	unitsPerSide = 34 // the shorter side holds so many units: at a quarter of 1920×1080 text is still 8 px high
	labelSize    = 0.94
)

// hinter is implemented by canvases that can attach a text to what is drawn
// between its two calls (SVG shows it when pointed at).
type hinter interface {
	BeginHint(text string)
	EndHint()
}

// Page is the surface one chart is drawn on.
type Page struct {
	draw.Canvas
	Colours
	Unit  vg.Length
	fonts *canvas.Typesetter
	hints hinter // nil where the format has none

	Highlight string // of the options
	ByMaker   bool
}

// New is an empty page on a canvas.
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

// Hint draws with a text attached.
func (p *Page) Hint(s string, body func()) {
	if p.hints == nil {
		body()
		return
	}
	p.hints.BeginHint(s)
	body()
	p.hints.EndHint()
}

// typeface is the font of the given size in units of the page.
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

// Width measures one line of text.
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

// Cut shortens a line to a width, to no fewer than the given number of characters.
func (p *Page) Cut(s string, size float64, bold bool, width vg.Length, fewest int) string {
	line := s
	for n := len([]rune(s)); n > fewest && p.Width(line, size, bold) > width; n-- {
		line = words.Shorten(s, n)
	}
	return line
}

// Fit wraps s into at most maxLines lines of the given width, making it
// smaller where it must; what still does not fit is cut with an ellipsis.
func (p *Page) Fit(s string, size float64, bold bool, width vg.Length, maxLines int) ([]string, float64) {
	const smallest = 0.7 // of the size asked for
	for shrink := 1.0; ; shrink -= 0.06 {
		widths := map[string]float64{} // the search for a balance asks again and again
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

// PutFit draws one line of text from pt on, made to fit a width.
func (p *Page) PutFit(s string, size float64, bold bool, c color.Color, pt vg.Point, width vg.Length) {
	lines, size := p.Fit(s, size, bold, width, 1)
	for _, l := range lines {
		p.Put(l, size, bold, c, pt, 0)
	}
}

// LegendItem is one entry of the key above a chart.
type LegendItem struct {
	Text  string
	Width float64                    // of the sample, in units
	Draw  func(p *Page, at vg.Point) // at the centre of the sample
}

// Key draws the legend below y and returns where it ends.
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
