package plots

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/trend"
)

// sortFlags orders clear flags before probable ones and those worth a second look, each by the
// size of their ratio to the line, then by name.
func sortFlags(flags []trend.Flag) {
	rank := func(f trend.Flag) int {
		return slices.Index([]trend.Strength{trend.Clear, trend.Probable, trend.Look}, f.Strength)
	}
	size := func(f trend.Flag) float64 {
		if !(f.Ratio > 0) {
			return 0
		}
		return math.Abs(math.Log(f.Ratio))
	}
	slices.SortStableFunc(flags, func(a, b trend.Flag) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(size(b), size(a)),
			cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
}

// flagLook is the shape and colour of a kind of flag.
func (p *page) flagLook(k trend.FlagKind) (shape, color.NRGBA) {
	switch k {
	case trend.Overpriced:
		return triangleUp, p.above
	case trend.Bargain:
		return triangleDown, p.below
	}
	return diamond, p.off
}

// flagMark draws a flag: filled where it is clear, open where it is worth a
// second look.
func (p *page) flagMark(c draw.Canvas, f trend.Flag, pt vg.Point, r vg.Length) {
	s, colour := p.flagLook(f.Kind)
	if f.Strength == trend.Clear {
		p.mark(c, s, pt, r, colour)
	} else {
		p.openMark(c, s, pt, r, colour)
	}
}

// flagWords says what a kind and strength of flag means, for the key and for
// tooltips.
func flagWords(f trend.Flag) string {
	var s string
	switch f.Kind {
	case trend.Overpriced:
		s = "priced above what its contents predict"
	case trend.Bargain:
		s = "priced below what its contents predict"
	default:
		s = "off the line"
	}
	switch f.Strength {
	case trend.Clear:
		return "clearly " + s
	case trend.Probable:
		return "probably " + s
	}
	return s + ": worth a second look"
}

// keyWords is the short form for the key.
func keyWords(k trend.FlagKind, s trend.Strength) string {
	words := "off the line"
	switch k {
	case trend.Overpriced:
		words = "priced above"
	case trend.Bargain:
		words = "priced below"
	}
	switch s {
	case trend.Clear:
		return "clearly " + words
	case trend.Probable:
		return "probably " + words
	}
	return words + ", worth a second look"
}

// flagKey explains the kinds and strengths of flags that occur.
func flagKey(flags []trend.Flag) []legendItem {
	var items []legendItem
	for _, kind := range [...]trend.FlagKind{trend.Overpriced, trend.Bargain, trend.OffTrend} {
		for _, strength := range [...]trend.Strength{trend.Clear, trend.Probable, trend.Look} {
			i := slices.IndexFunc(flags, func(f trend.Flag) bool { return f.Kind == kind && f.Strength == strength })
			if i < 0 {
				continue
			}
			items = append(items, legendItem{text: keyWords(kind, strength), width: 0.8, draw: func(p *page, at vg.Point) {
				p.flagMark(p.Canvas, flags[i], at, 0.32*p.unit)
			}})
		}
	}
	return items
}

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
