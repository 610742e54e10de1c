package plots

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/trend"
)

// sortFlags orders the surer flags before the others, each by the
// size of their ratio to the line, then by name.
func sortFlags(flags []trend.Flag) {
	rank := func(f trend.Flag) int {
		return slices.Index([]trend.Grade{trend.Clear, trend.Probable, trend.Hint}, f.Grade)
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
func flagLook(p *page.Page, k trend.FlagKind) (page.Shape, color.NRGBA) {
	switch k {
	case trend.Overpriced:
		return page.TriangleUp, p.Above
	case trend.Bargain:
		return page.TriangleDown, p.Below
	}
	return page.Diamond, p.Off
}

// flagMark draws a flag: filled where it is clear, half filled where it is
// probable, open where it is a hint.
func flagMark(p *page.Page, c draw.Canvas, f trend.Flag, pt vg.Point, r vg.Length) {
	s, colour := flagLook(p, f.Kind)
	gradeMark(p, c, s, pt, r, colour, f.Grade)
}

// gradeMark draws a mark by how sure it is.
func gradeMark(p *page.Page, c draw.Canvas, s page.Shape, pt vg.Point, r vg.Length, colour color.NRGBA, g trend.Grade) {
	switch g {
	case trend.Clear:
		p.Mark(c, s, pt, r, colour)
	case trend.Probable:
		p.OpenMark(c, s, pt, r, colour)
		p.Mark(c, s, pt, r/2, colour)
	default:
		p.OpenMark(c, s, pt, r, colour)
	}
}

// flagWords says what a kind and grade of flag means, for the key and for
// tooltips.
func flagWords(f trend.Flag) string {
	s := "off the line"
	switch f.Kind {
	case trend.Overpriced:
		s = "above what its contents usually cost"
	case trend.Bargain:
		s = "below what its contents usually cost"
	}
	return gradeWord(f.Grade) + " " + s
}

func gradeWord(g trend.Grade) string {
	return map[trend.Grade]string{trend.Clear: "clearly", trend.Probable: "probably", trend.Hint: "a hint"}[g]
}

// keyWords is the short form for the key.
func keyWords(k trend.FlagKind, g trend.Grade) string {
	words := "off the line"
	switch k {
	case trend.Overpriced:
		words = "above"
	case trend.Bargain:
		words = "below"
	}
	return gradeWord(g) + " " + words
}

// flagKey explains the kinds and grades of flags that occur.
func flagKey(flags []trend.Flag) []page.LegendItem {
	var items []page.LegendItem
	for _, kind := range [...]trend.FlagKind{trend.Overpriced, trend.Bargain, trend.OffTrend} {
		for _, grade := range [...]trend.Grade{trend.Clear, trend.Probable, trend.Hint} {
			i := slices.IndexFunc(flags, func(f trend.Flag) bool { return f.Kind == kind && f.Grade == grade })
			if i < 0 {
				continue
			}
			items = append(items, page.LegendItem{Text: keyWords(kind, grade), Width: 0.8, Draw: func(p *page.Page, at vg.Point) {
				flagMark(p, p.Canvas, flags[i], at, 0.32*p.Unit)
			}})
		}
	}
	return items
}

// offUsual says whose price is off what the contents usually cost, "" of nobody:
// up to three on a side are named.
func offUsual(above, below []string) string {
	cost := func(names []string, than string) string {
		if len(names) == 1 {
			return words.List(names) + " costs " + than + " than its contents usually do"
		}
		return words.List(names) + " cost " + than + " than their contents usually do"
	}
	switch {
	case len(above) > 0 && len(below) > 0:
		return cost(above, "more") + ", " + words.List(below) + " less"
	case len(above) > 0:
		return cost(above, "more")
	case len(below) > 0:
		return cost(below, "less")
	}
	return ""
}
