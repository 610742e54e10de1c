package plots

import (
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// highlighted reports whether a name, as charts write it, is the one asked for;
// case and the number of blanks do not count.
func (p *page) highlighted(name string) bool {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return p.highlight != "" && strings.EqualFold(plain(name), plain(p.highlight))
}

// ring draws a circle about the mark of what is highlighted.
func (p *page) ring(c draw.Canvas, pt vg.Point, r vg.Length) {
	c.SetLineStyle(p.lineStyle(p.ink, 0.1))
	c.Stroke(circle.outline(pt, r+0.32*p.unit))
}
