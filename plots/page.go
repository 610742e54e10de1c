package plots

import (
	"image/color"

	"golang.org/x/image/font"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes relative to the page's unit, the height of ordinary text.
const (
	unitsPerSide = 34 // the shorter side holds so many units: at a quarter of 1920×1080 text is still 8 px high
	labelSize    = 0.94
)

// hinter is implemented by canvases that can attach a text to what is drawn
// between its two calls (SVG shows it when pointed at).
type hinter interface {
	beginHint(text string)
	endHint()
}

// page is the surface one chart is drawn on.
type page struct {
	draw.Canvas
	theme
	unit  vg.Length
	fonts *typesetter
	hints hinter // nil where the format has none

	highlight string // of the options
	byMaker   bool
}

func newPage(c vg.CanvasSizer, t theme) *page {
	w, h := c.Size()
	p := &page{
		Canvas: draw.NewCanvas(c, w, h),
		theme:  t,
		unit:   min(w, h) / unitsPerSide,
		fonts:  newTypesetter(),
	}
	p.hints, _ = c.(hinter)
	return p
}

// hint draws with a text attached.
func (p *page) hint(s string, body func()) {
	if p.hints == nil {
		body()
		return
	}
	p.hints.beginHint(s)
	body()
	p.hints.endHint()
}

// typeface is the font of the given size in units of the page.
func (p *page) typeface(size float64, bold bool) plotfont.Font {
	f := plotfont.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Length(size) * p.unit}
	if bold {
		f.Weight = font.WeightBold
	}
	return f
}

func (p *page) style(size float64, bold bool, c color.Color) text.Style {
	return text.Style{Color: c, Font: p.typeface(size, bold), Handler: p.fonts}
}

// width measures one line of text.
func (p *page) width(s string, size float64, bold bool) vg.Length {
	return p.fonts.width(p.fonts.face(p.typeface(size, bold)), s)
}

// put draws one line of text with its baseline at pt; align is the fraction
// of its width that lies left of pt.
func (p *page) put(s string, size float64, bold bool, c color.Color, pt vg.Point, align float64) {
	face := p.fonts.face(p.typeface(size, bold))
	if align != 0 {
		pt.X -= vg.Length(align) * p.fonts.width(face, s)
	}
	p.SetColor(c)
	p.FillString(face, pt, s)
}

// cut shortens a line to a width, to no fewer than the given number of characters.
func (p *page) cut(s string, size float64, bold bool, width vg.Length, fewest int) string {
	line := s
	for n := len([]rune(s)); n > fewest && p.width(line, size, bold) > width; n-- {
		line = shorten(s, n)
	}
	return line
}

// fit wraps s into at most maxLines lines of the given width, making it
// smaller where it must; what still does not fit is cut with an ellipsis.
func (p *page) fit(s string, size float64, bold bool, width vg.Length, maxLines int) ([]string, float64) {
	const smallest = 0.7 // of the size asked for
	for shrink := 1.0; ; shrink -= 0.06 {
		widths := map[string]float64{} // the search for a balance asks again and again
		measure := func(t string) float64 {
			w, ok := widths[t]
			if !ok {
				w = float64(p.width(t, size*shrink, bold))
				widths[t] = w
			}
			return w
		}
		lines := balance(s, float64(width), measure)
		fits := len(lines) <= maxLines
		for _, l := range lines {
			fits = fits && measure(l) <= float64(width)
		}
		if fits {
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
			lines[i] = p.cut(l, size*shrink, bold, width, 4)
		}
		return lines, size * shrink
	}
}

// legendItem is one entry of the key above a chart.
type legendItem struct {
	text  string
	width float64                    // of the sample, in units
	draw  func(p *page, at vg.Point) // at the centre of the sample
}

// key draws the legend below y and returns where it ends.
func (p *page) key(items []legendItem, left, right, y vg.Length) vg.Length {
	if len(items) == 0 {
		return y
	}
	const size = 0.94
	x := left
	y -= 1.75 * p.unit
	for _, it := range items {
		sample := vg.Length(it.width) * p.unit
		w := sample + 0.45*p.unit + p.width(it.text, size, false)
		if x > left && x+w > right {
			x = left
			y -= 1.4 * p.unit
		}
		it.draw(p, vg.Point{X: x + sample/2, Y: y + 0.32*p.unit})
		p.put(it.text, size, false, p.ink, vg.Point{X: x + sample + 0.45*p.unit, Y: y}, 0)
		x += w + 1.3*p.unit
	}
	return y - 0.3*p.unit
}
