package plots

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// nameTag is a name beside a mark, with a figure after it.
type nameTag struct {
	name, detail string
	at           vg.Point
	reach        vg.Length
}

// nameTags writes as many names as find room, first ones first, and returns
// their number.
func (p *page) nameTags(c draw.Canvas, tags []nameTag, s scene) int {
	labels := make([]label, len(tags))
	height := vg.Length(labelSize*1.12) * p.unit
	gap := 0.3 * p.unit
	for i, t := range tags {
		w := p.width(t.name, labelSize, true) + gap + p.width(t.detail, labelSize, false)
		labels[i] = label{anchor: t.at, radius: t.reach, width: w + 0.3*p.unit, height: height}
	}
	named := 0
	for i, pl := range placeLabels(labels, s, 1) {
		if !pl.placed {
			continue
		}
		named++
		if pl.leader {
			c.StrokeLines(p.lineStyle(p.frame, 0.06), []vg.Point{pl.from, pl.to})
		}
		if s.busy != nil && s.busy.count(pl.rect) > 0 {
			c.SetColor(faded(p.background, 0.82))
			c.Fill(shrunk(pl.rect, 0.04*p.unit).Path())
		}
		base := vg.Point{X: pl.rect.Min.X + 0.15*p.unit, Y: pl.rect.Min.Y + 0.28*height}
		p.put(tags[i].name, labelSize, true, p.ink, base, 0)
		base.X += p.width(tags[i].name, labelSize, true) + gap
		p.put(tags[i].detail, labelSize, false, p.ink, base, 0)
	}
	return named
}
