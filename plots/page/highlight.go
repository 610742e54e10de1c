package page

import (
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Highlighted reports whether a name, as charts write it, is the one to highlight.
// Case and the amount of white space do not matter.
func (p *Page) Highlighted(name string) bool {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return p.Highlight != "" && strings.EqualFold(plain(name), plain(p.Highlight))
}

// Ring draws a circle round a highlighted mark of radius r.
func (p *Page) Ring(c draw.Canvas, pt vg.Point, r vg.Length) {
	c.SetLineStyle(p.LineStyle(p.Ink, 0.1))
	c.Stroke(Circle.outline(pt, r+0.32*p.Unit))
}
