// Package canvas turns what is drawn into the bytes of a file: SVG with real
// text and tooltips, one page of PDF with its fonts, and PNG with a palette.
//
// The canvases implement vg.Canvas of gonum/plot in place of its own, which write
// no titles and no tooltips (SVG), dates of today (PDF) and three times the bytes
// (PNG). A typesetter measures text as they draw it. They know nothing of charts.
package canvas

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strconv"
	"strings"

	"golang.org/x/image/font"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// Description is what a file says about itself.
type Description struct{ Title, Text string }

// svgCanvas is a vg.Canvas that writes SVG 1.1 with real text, a <title> and
// <desc> for the picture, and a <title> for every group of marks with a hint,
// which browsers show as a tooltip. Everything that comes from a log passes
// through escape.
type svgCanvas struct {
	w, h  vg.Length
	about Description
	out   bytes.Buffer
	now   svgState
	stack []svgState
}

type svgState struct {
	pen
	groups int // <g> elements opened by transforms, closed by Pop
}

// pen is what lines, fills and text are drawn with.
type pen struct {
	color  color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
}

// NewSVG is an empty SVG file of w×h user units.
func NewSVG(w, h vg.Length, about Description) vg.CanvasWriterTo {
	c := &svgCanvas{w: w, h: h, about: about}
	vg.Initialize(c)
	return c
}

func (c *svgCanvas) Size() (w, h vg.Length)   { return c.w, c.h }
func (c *svgCanvas) SetLineWidth(w vg.Length) { c.now.width = w }
func (c *svgCanvas) SetColor(clr color.Color) { c.now.color = clr }
func (c *svgCanvas) SetLineDash(d []vg.Length, offset vg.Length) {
	c.now.dashes, c.now.offset = d, offset
}

func (c *svgCanvas) Push() {
	c.stack = append(c.stack, c.now)
	c.now.groups = 0
}

func (c *svgCanvas) Pop() {
	c.out.WriteString(strings.Repeat("</g>\n", c.now.groups))
	c.now = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

// The origin of vg is at the bottom left, that of SVG at the top left, so
// transforms are given about the point (0, h) and mirrored.
func (c *svgCanvas) Rotate(rad float64) {
	c.group("rotate(%s 0 %s)", number(-rad*180/math.Pi), number(float64(c.h)))
}

func (c *svgCanvas) Translate(pt vg.Point) {
	c.group("translate(%s %s)", number(float64(pt.X)), number(-float64(pt.Y)))
}

func (c *svgCanvas) Scale(x, y float64) {
	h := float64(c.h)
	c.group("translate(0 %s) scale(%s %s) translate(0 %s)", number(h), number(x), number(y), number(-h))
}

func (c *svgCanvas) group(format string, args ...any) {
	fmt.Fprintf(&c.out, `<g transform="`+format+"\">\n", args...)
	c.now.groups++
}

func (c *svgCanvas) Stroke(p vg.Path) {
	if c.now.width <= 0 {
		return
	}
	fmt.Fprintf(&c.out, `<path d="%s" fill="none" stroke="%s"%s stroke-width="%s"`,
		c.data(p), hex(c.now.color), opacity("stroke", c.now.color), number(float64(c.now.width)))
	if len(c.now.dashes) > 0 {
		d := make([]string, len(c.now.dashes))
		for i, l := range c.now.dashes {
			d[i] = number(float64(l))
		}
		fmt.Fprintf(&c.out, ` stroke-dasharray="%s" stroke-dashoffset="%s"`, strings.Join(d, " "), number(float64(c.now.offset)))
	}
	c.out.WriteString("/>\n")
}

func (c *svgCanvas) Fill(p vg.Path) {
	fmt.Fprintf(&c.out, `<path d="%s" fill="%s"%s/>`+"\n", c.data(p), hex(c.now.color), opacity("fill", c.now.color))
}

func (c *svgCanvas) FillString(f plotfont.Face, pt vg.Point, s string) {
	if f.Font.Size == 0 || s == "" {
		return
	}
	weight := ""
	if f.Font.Weight >= font.WeightBold {
		weight = ` font-weight="bold"`
	}
	// The width as laid out is kept where another font stands in.
	fmt.Fprintf(&c.out, `<text x="%s" y="%s" font-size="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs" fill="%s"%s>%s</text>`+"\n",
		number(float64(pt.X)), number(float64(c.h-pt.Y)), number(f.Font.Size.Points()), weight,
		number(float64(f.Width(s))), hex(c.now.color), opacity("fill", c.now.color), escape(s))
}

func (c *svgCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	var b bytes.Buffer
	if png.Encode(&b, img) != nil { // only an empty image cannot be encoded: nothing to show
		return
	}
	size := r.Size()
	fmt.Fprintf(&c.out, `<image x="%s" y="%s" width="%s" height="%s" href="data:image/png;base64,%s"/>`+"\n",
		number(float64(r.Min.X)), number(float64(c.h-r.Max.Y)), number(float64(size.X)), number(float64(size.Y)),
		base64.StdEncoding.EncodeToString(b.Bytes()))
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

// arc draws in halves, as SVG cannot draw a full circle in one piece.
func (c *svgCanvas) arc(b *strings.Builder, q vg.PathComp, point func(string, ...vg.Point)) {
	at := func(angle float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{X: q.Pos.X + q.Radius*vg.Length(cos), Y: q.Pos.Y + q.Radius*vg.Length(sin)}
	}
	r := number(float64(q.Radius))
	sweep := "0" // counter-clockwise with y up is clockwise's opposite with y down
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

// number writes a length to a hundredth of a pixel.
func number(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func hex(c color.Color) string {
	n := color.NRGBAModel.Convert(solid(c)).(color.NRGBA)
	return fmt.Sprintf("#%02x%02x%02x", n.R, n.G, n.B)
}

func opacity(what string, c color.Color) string {
	n := color.NRGBAModel.Convert(solid(c)).(color.NRGBA)
	if n.A == 0xFF {
		return ""
	}
	return fmt.Sprintf(` %s-opacity="%s"`, what, number(float64(n.A)/0xFF))
}

// solid replaces vg's "no colour", which means black.
func solid(c color.Color) color.Color {
	if c == nil {
		return color.Black
	}
	return c
}

// escape makes text safe inside an element.
func escape(s string) string {
	var b strings.Builder
	if xml.EscapeText(&b, []byte(s)) != nil { // a strings.Builder does not fail
		return ""
	}
	return b.String()
}
