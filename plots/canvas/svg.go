// Package canvas provides the file formats of charts: SVG with text as text and
// tooltips, one page of PDF with its fonts embedded, and PNG with a palette.
//
// Its canvases implement vg.Canvas of gonum/plot and replace those of gonum/plot,
// which write neither titles nor tooltips (SVG), write the current date (PDF) or
// write files three times as large (PNG). A Typesetter measures text as the
// canvases draw it.
package canvas

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	"golang.org/x/image/font"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// Description is the title and description stored in a file.
type Description struct{ Title, Text string }

// svgCanvas is a vg.Canvas that writes SVG 1.1 with text as text, a <title> and
// <desc> of the picture, and a <title> for every group with a hint, which browsers
// show as a tooltip. All text passes through escape.
type svgCanvas struct {
	unturned
	w, h   vg.Length
	about  Description
	out    bytes.Buffer
	color  color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
}

// NewSVG returns an empty SVG file of w×h user units.
func NewSVG(w, h vg.Length, about Description) vg.CanvasWriterTo {
	c := &svgCanvas{w: w, h: h, about: about}
	vg.Initialize(c)
	return c
}

func (c *svgCanvas) Size() (w, h vg.Length)   { return c.w, c.h }
func (c *svgCanvas) SetLineWidth(w vg.Length) { c.width = w }
func (c *svgCanvas) SetColor(clr color.Color) { c.color = clr }
func (c *svgCanvas) SetLineDash(d []vg.Length, offset vg.Length) {
	c.dashes, c.offset = d, offset
}

func (c *svgCanvas) Stroke(p vg.Path) {
	if c.width <= 0 {
		return
	}
	fmt.Fprintf(&c.out, `<path d="%s" fill="none" %s stroke-width="%s"`,
		c.data(p), paint("stroke", c.color), number(float64(c.width)))
	if len(c.dashes) > 0 {
		d := make([]string, len(c.dashes))
		for i, l := range c.dashes {
			d[i] = number(float64(l))
		}
		fmt.Fprintf(&c.out, ` stroke-dasharray="%s" stroke-dashoffset="%s"`, strings.Join(d, " "), number(float64(c.offset)))
	}
	c.out.WriteString("/>\n")
}

func (c *svgCanvas) Fill(p vg.Path) {
	fmt.Fprintf(&c.out, `<path d="%s" %s/>`+"\n", c.data(p), paint("fill", c.color))
}

func (c *svgCanvas) FillString(f plotfont.Face, pt vg.Point, s string) {
	if f.Font.Size == 0 || s == "" {
		return
	}
	weight := ""
	if f.Font.Weight >= font.WeightBold {
		weight = ` font-weight="bold"`
	}
	// textLength keeps the width of the layout if a viewer substitutes the font.
	fmt.Fprintf(&c.out, `<text x="%s" y="%s" font-size="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs" %s>%s</text>`+"\n",
		number(float64(pt.X)), number(float64(c.h-pt.Y)), number(f.Font.Size.Points()), weight,
		number(float64(f.Width(s))), paint("fill", c.color), escape(s))
}

func (c *svgCanvas) BeginHint(text string) {
	fmt.Fprintf(&c.out, "<g><title>%s</title>\n", escape(text))
}

func (c *svgCanvas) EndHint() { c.out.WriteString("</g>\n") }

// WriteTo writes the whole document.
func (c *svgCanvas) WriteTo(w io.Writer) (int64, error) {
	var b bytes.Buffer
	width, height := number(float64(c.w)), number(float64(c.h))
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %s %s" role="img" `+
		`font-family="'Liberation Sans', Arial, Helvetica, sans-serif">`+"\n", width, height, width, height)
	fmt.Fprintf(&b, "<title>%s</title>\n<desc>%s</desc>\n", escape(c.about.Title), escape(c.about.Text))
	b.Write(c.out.Bytes())
	b.WriteString("</svg>\n")
	return b.WriteTo(w)
}

func (c *svgCanvas) data(p vg.Path) string {
	var b strings.Builder
	point := func(command string, pts ...vg.Point) {
		b.WriteString(command)
		for i, pt := range pts {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(number(float64(pt.X)))
			b.WriteByte(' ')
			b.WriteString(number(float64(c.h - pt.Y)))
		}
	}
	for _, q := range p {
		switch q.Type {
		case vg.MoveComp:
			point("M", q.Pos)
		case vg.LineComp:
			point("L", q.Pos)
		case vg.CurveComp:
			point(map[int]string{1: "Q", 2: "C"}[len(q.Control)], append(q.Control[:len(q.Control):len(q.Control)], q.Pos)...)
		case vg.ArcComp:
			c.arc(&b, q, point)
		case vg.CloseComp:
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// arc draws an arc in two halves, as one SVG arc cannot be a full circle.
func (c *svgCanvas) arc(b *strings.Builder, q vg.PathComp, point func(string, ...vg.Point)) {
	at := func(angle float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{X: q.Pos.X + q.Radius*vg.Length(cos), Y: q.Pos.Y + q.Radius*vg.Length(sin)}
	}
	r := number(float64(q.Radius))
	sweep := "0" // anticlockwise on the page, whichever way y points
	if q.Angle < 0 {
		sweep = "1"
	}
	if b.Len() == 0 {
		point("M", at(q.Start))
	} else {
		point("L", at(q.Start))
	}
	for _, part := range [...]float64{0.5, 1} {
		fmt.Fprintf(b, "A%s %s 0 0 %s ", r, r, sweep)
		point("", at(q.Start+part*q.Angle))
	}
}

// number writes a length with at most two decimals.
func number(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// paint returns the attribute of a stroke or fill of a colour, with its opacity
// unless it is opaque.
func paint(what string, c color.Color) string {
	n := solid(c)
	s := fmt.Sprintf(`%s="#%02x%02x%02x"`, what, n.R, n.G, n.B)
	if n.A < 0xFF {
		s += fmt.Sprintf(` %s-opacity="%s"`, what, number(float64(n.A)/0xFF))
	}
	return s
}

// solid converts a colour to red, green, blue and opacity; nil means black, as in
// vg.
func solid(c color.Color) color.NRGBA {
	if c == nil {
		c = color.Black
	}
	return color.NRGBAModel.Convert(c).(color.NRGBA)
}

// escape escapes text for use inside an XML element.
func escape(s string) string {
	var b strings.Builder
	if xml.EscapeText(&b, []byte(s)) != nil { // cannot happen: writing to a strings.Builder does not fail
		return ""
	}
	return b.String()
}
