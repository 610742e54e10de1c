package page

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/labels"
)

// NameTag is a name beside a mark, with a figure after it.
type NameTag struct {
	Name, Detail string
	At           vg.Point  // centre of the mark
	Reach        vg.Length // of the mark
}

// NameTags writes as many names as there is room for, the first ones first, and
// returns their number.
func (p *Page) NameTags(c draw.Canvas, tags []NameTag, s labels.Scene) int {
	wanted := make([]labels.Label, len(tags))
	height := vg.Length(labelSize*1.12) * p.Unit
	gap := 0.3 * p.Unit
	for i, t := range tags {
		w := p.Width(t.Name, labelSize, true) + gap + p.Width(t.Detail, labelSize, false)
		wanted[i] = labels.Label{Anchor: t.At, Radius: t.Reach, Width: w + 0.3*p.Unit, Height: height}
	}
	named := 0
	for i, pl := range labels.Place(wanted, s, 1) {
		if !pl.Placed {
			continue
		}
		named++
		if pl.Leader {
			c.StrokeLines(p.LineStyle(p.Frame, 0.06), []vg.Point{pl.From, pl.To})
		}
		if s.Busy != nil && s.Busy.Count(pl.Rect) > 0 {
			c.SetColor(faded(p.Background, 0.82))
			c.Fill(labels.Shrunk(pl.Rect, 0.04*p.Unit).Path())
		}
		base := vg.Point{X: pl.Rect.Min.X + 0.15*p.Unit, Y: pl.Rect.Min.Y + 0.28*height}
		p.Put(tags[i].Name, labelSize, true, p.Ink, base, 0)
		base.X += p.Width(tags[i].Name, labelSize, true) + gap
		p.Put(tags[i].Detail, labelSize, false, p.Ink, base, 0)
	}
	return named
}
