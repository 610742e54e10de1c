package canvas

import (
	"bytes"
	"fmt"
	"image/color"
	"io"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// pdfCanvas is a vg.Canvas that writes one PDF page. Fonts are embedded as Unicode
// subsets, so that names in any script of the font can be written, and the date is
// fixed, so that the same chart gives the same bytes.
type pdfCanvas struct {
	unturned
	w, h  vg.Length
	doc   *fpdf.Fpdf
	width vg.Length // of lines
	err   error
}

// NewPDF returns an empty PDF page of w×h points.
func NewPDF(w, h vg.Length, about Description) vg.CanvasWriterTo {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: w.Points(), Ht: h.Points()}})
	doc.SetCatalogSort(true)
	epoch := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(epoch)
	doc.SetModificationDate(epoch)
	doc.SetTitle(about.Title, true)
	doc.SetSubject(about.Text, true)
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.AddPage()
	c := &pdfCanvas{w: w, h: h, doc: doc}
	vg.Initialize(c)
	return c
}

func (c *pdfCanvas) Size() (w, h vg.Length) { return c.w, c.h }

func (c *pdfCanvas) SetLineWidth(w vg.Length) {
	c.width = w
	c.doc.SetLineWidth(w.Points())
}

func (c *pdfCanvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	d := make([]float64, len(dashes))
	for i, l := range dashes {
		d[i] = l.Points()
	}
	c.doc.SetDashPattern(d, offset.Points())
}

func (c *pdfCanvas) SetColor(clr color.Color) {
	n := solid(clr)
	r, g, b := int(n.R), int(n.G), int(n.B)
	c.doc.SetFillColor(r, g, b)
	c.doc.SetDrawColor(r, g, b)
	c.doc.SetTextColor(r, g, b)
	c.doc.SetAlpha(float64(n.A)/0xFF, "Normal")
}

func (c *pdfCanvas) Stroke(p vg.Path) {
	if c.width > 0 && c.path(p) {
		c.doc.DrawPath("D")
	}
}

func (c *pdfCanvas) Fill(p vg.Path) {
	if c.path(p) {
		c.doc.DrawPath("F")
	}
}

func (c *pdfCanvas) point(pt vg.Point) (x, y float64) { return pt.X.Points(), (c.h - pt.Y).Points() }

// path adds the path to the document and reports whether it has components.
func (c *pdfCanvas) path(p vg.Path) bool {
	for i, q := range p {
		x, y := c.point(q.Pos)
		switch q.Type {
		case vg.MoveComp:
			c.doc.MoveTo(x, y)
		case vg.LineComp:
			c.doc.LineTo(x, y)
		case vg.CurveComp:
			x1, y1 := c.point(q.Control[0])
			if len(q.Control) == 1 {
				c.doc.CurveTo(x1, y1, x, y)
			} else {
				x2, y2 := c.point(q.Control[1])
				c.doc.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
			}
		case vg.ArcComp:
			c.arc(q, i == 0)
		case vg.CloseComp:
			c.doc.ClosePath()
		}
	}
	return len(p) > 0
}

// arc draws an arc as cubic Bézier curves, each of at most a quarter circle (error
// below 0.03 % of the radius).
func (c *pdfCanvas) arc(q vg.PathComp, first bool) {
	parts := max(1, int(math.Ceil(math.Abs(q.Angle)/(math.Pi/2)-1e-9)))
	step := q.Angle / float64(parts)
	k := vg.Length(4.0 / 3 * math.Tan(step/4))
	at := func(a float64) (pos, along vg.Point) {
		sin, cos := math.Sincos(a)
		s, o := vg.Length(sin)*q.Radius, vg.Length(cos)*q.Radius
		return vg.Point{X: q.Pos.X + o, Y: q.Pos.Y + s}, vg.Point{X: -s, Y: o}
	}
	start, along := at(q.Start)
	if x, y := c.point(start); first {
		c.doc.MoveTo(x, y)
	} else {
		c.doc.LineTo(x, y)
	}
	for i := 1; i <= parts; i++ {
		end, next := at(q.Start + float64(i)*step)
		x1, y1 := c.point(start.Add(along.Scale(k)))
		x2, y2 := c.point(end.Sub(next.Scale(k)))
		x, y := c.point(end)
		c.doc.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
		start, along = end, next
	}
}

func (c *pdfCanvas) FillString(f plotfont.Face, pt vg.Point, s string) {
	if f.Font.Size == 0 || s == "" {
		return
	}
	style := ""
	if f.Font.Weight >= font.WeightBold {
		style = "B"
	}
	var raw bytes.Buffer
	if c.doc.GetFontDesc("sans", style).Ascent == 0 {
		if _, err := f.Face.WriteSourceTo(nil, &raw); err != nil {
			c.err = fmt.Errorf("font %s: %w", f.Name(), err)
			return
		}
		c.doc.AddUTF8FontFromBytes("sans", style, raw.Bytes())
	}
	c.doc.SetFont("sans", style, f.Font.Size.Points())
	x, y := c.point(pt)
	c.doc.Text(x, y, drawable(f, s))
}

// drawable replaces by "?" the characters that the font has no glyph for or that
// are beyond U+FFFF, which the document cannot hold.
func drawable(f plotfont.Face, s string) string {
	var b sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if i, err := f.Face.GlyphIndex(&b, r); err != nil || i == 0 || r > 0xFFFF {
			return '?'
		}
		return r
	}, s)
}

// WriteTo writes the document; the canvas cannot be drawn on afterwards.
func (c *pdfCanvas) WriteTo(w io.Writer) (int64, error) {
	if c.err != nil {
		return 0, c.err
	}
	var b bytes.Buffer
	if err := c.doc.Output(&b); err != nil {
		return 0, err
	}
	return b.WriteTo(w)
}
