package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
)

// estimate is one row of a chart that lists estimates with their 95 % ranges.
type estimate struct {
	label, detail, hint string
	value, low, high    float64
	bold                bool
	look                func(p *page.Page) (s page.Shape, colour color.NRGBA, open bool)
	from                float64 // value before shrinkage, joined to value by a line; NaN = none
}

func plainLook(p *page.Page) (page.Shape, color.NRGBA, bool) { return page.Circle, p.Plain, false }
func openLook(p *page.Page) (page.Shape, color.NRGBA, bool)  { return page.Circle, p.Plain, true }

// The two ends of a ranking have marks of their own, as first and last do not mean
// dear and cheap.
func firstLook(p *page.Page) (page.Shape, color.NRGBA, bool) { return page.Diamond, p.Off, false }
func lastLook(p *page.Page) (page.Shape, color.NRGBA, bool)  { return page.Square, p.Off, true }

func upLook(p *page.Page) (page.Shape, color.NRGBA, bool)   { return page.TriangleUp, p.Above, false }
func downLook(p *page.Page) (page.Shape, color.NRGBA, bool) { return page.TriangleDown, p.Below, false }

func lookMark(p *page.Page, c draw.Canvas, look func(*page.Page) (page.Shape, color.NRGBA, bool), pt vg.Point) {
	s, colour, open := look(p)
	if open {
		p.OpenMark(c, s, pt, 0.34*p.Unit, colour)
		return
	}
	p.Mark(c, s, pt, 0.36*p.Unit, colour)
}

func lookItem(words string, look func(*page.Page) (page.Shape, color.NRGBA, bool)) page.LegendItem {
	return page.LegendItem{Text: words, Width: 0.8, Draw: func(p *page.Page, at vg.Point) { lookMark(p, p.Canvas, look, at) }}
}

func rangeItem(words string) page.LegendItem {
	return page.LegendItem{Text: words, Width: 2, Draw: func(p *page.Page, at vg.Point) {
		p.RangeBar(p.Canvas, func(x float64) vg.Point { return vg.Point{X: at.X + vg.Length(x)*p.Unit, Y: at.Y} }, -1, 1, 0.5, p.Band)
	}}
}

// estimates is a chart of estimates, first row on top.
type estimates struct {
	rows     []estimate
	x        page.Axis // Min and Max are set by draw
	hasZero  bool      // the axis includes the value of no difference: 0, or 1 for ratios
	bothEnds bool      // if not all rows fit, show both ends rather than the first rows
	note     string
	ratio    bool // values are ratios; the axis is labelled in per cent above and below
}

// ways returns the legend of rows that rose, fell or show no clear change, with
// entries only for those that occur.
func (v *estimates) ways(up, down, neither string) []page.LegendItem {
	var items []page.LegendItem
	for _, w := range []struct {
		words string
		look  func(*page.Page) (page.Shape, color.NRGBA, bool)
		there func(e estimate) bool
	}{
		{up, upLook, func(e estimate) bool { return e.bold && e.value > 0 }},
		{down, downLook, func(e estimate) bool { return e.bold && e.value < 0 }},
		{neither, openLook, func(e estimate) bool { return !e.bold }},
	} {
		if slices.ContainsFunc(v.rows, w.there) {
			items = append(items, lookItem(w.words, w.look))
		}
	}
	return items
}

// visible returns the rows that fit into room rows, how many of them come before
// the gap, and how many rows the gap leaves out.
func (v *estimates) visible(room int) (shown []estimate, first, left int) {
	from, to := ends(len(v.rows), room)
	if from < to && !v.bothEnds {
		from, to = room-1, len(v.rows)
	}
	return slices.Concat(v.rows[:from], v.rows[to:]), from, to - from
}

func (v *estimates) draw(p *page.Page, area vg.Rectangle) string {
	shown, first, left := v.visible(p.RowsThatFit(area))
	x := v.x
	x.Min, x.Max = math.Inf(1), math.Inf(-1)
	take := func(values ...float64) {
		for _, value := range values {
			if page.Finite(value) && (!x.Log || value > 0) {
				x.Min, x.Max = math.Min(x.Min, value), math.Max(x.Max, value)
			}
		}
	}
	for _, e := range shown {
		take(e.value, e.from)
	}
	zero := 0.0
	if v.ratio {
		zero = 1
	}
	if v.hasZero {
		take(zero)
	}
	// Ends of ranges widen a linear axis only if they lie within widest spans of
	// the estimates; otherwise one wide range would compress all estimates.
	span := x.Max - x.Min
	const widest = 1.5
	for _, e := range shown {
		for _, end := range [...]float64{e.low, e.high} {
			if x.Log || (end > x.Min-widest*span && end < x.Max+widest*span) || span == 0 {
				take(end)
			}
		}
	}
	x = x.Padded(0.06)
	if v.ratio {
		x.Ticks = ratioTicks(x, p, area)
	}
	var rows []page.Row
	for _, e := range shown {
		rows = append(rows, page.Row{Label: e.label, Bold: e.bold, Detail: e.detail, Hint: e.hint,
			Draw: func(c draw.Canvas, at func(float64) vg.Point) { v.row(p, c, at, e, x) }})
	}
	if left > 0 {
		rows = slices.Insert(rows, first, gapRow(left, "more"))
	}
	p.DrawRows(area, x, rows, func(c draw.Canvas, at func(x, y float64) vg.Point) {
		if v.hasZero {
			level := at(zero, 0).X
			c.StrokeLines(p.LineStyle(p.Line, 0.09), []vg.Point{{X: level, Y: c.Min.Y}, {X: level, Y: c.Max.Y}})
		}
	})
	return v.note
}

// ratioTicks returns ticks at round ratios, labelled in per cent above and below,
// far enough apart that their labels do not touch. The drawing is taken to have
// the share least of the area's width, as names and values take the rest.
func ratioTicks(x page.Axis, p *page.Page, area vg.Rectangle) []plot.Tick {
	const (
		least = 0.45  // share of the area's width left for the drawing
		each  = 4.4   // width of a label, units
		apart = 0.055 // least distance of ticks, as a share of the axis
	)
	span := math.Log(x.Max / x.Min)
	room := max(apart, each*float64(p.Unit)/(least*float64(area.Size().X))) * span
	// The most important ratios come first; later ones are used if there is room.
	ratios := []float64{1, 2, 0.5, 1.5, 0.75, 4, 0.25, 1.25, 3, 10, 0.1, 100, 0.01}
	if span < math.Log(2) {
		ratios = []float64{1, 1.2, 0.8, 1.1, 0.9, 1.05, 0.95, 1.3, 1.4, 0.7, 1.02, 0.98, 1.01, 0.99}
	}
	ticks := []plot.Tick{}
	for _, r := range ratios {
		touches := func(t plot.Tick) bool { return math.Abs(math.Log(r/t.Value)) < room }
		if r > x.Min && r < x.Max && !slices.ContainsFunc(ticks, touches) {
			ticks = append(ticks, plot.Tick{Value: r, Label: words.SignedPercent(r-1, 0)})
		}
	}
	return ticks
}

// gapRow returns the row that stands for left rows that are not shown.
func gapRow(left int, what string) page.Row {
	return page.Row{Label: fmt.Sprintf("… %s %s …", words.Number(float64(left)), what), Draw: func(draw.Canvas, func(float64) vg.Point) {}}
}

func (v *estimates) row(p *page.Page, c draw.Canvas, at func(float64) vg.Point, e estimate, x page.Axis) {
	if page.Finite(e.low, e.high) {
		p.RangeBar(c, at, math.Max(e.low, x.Min), math.Min(e.high, x.Max), 0.5, p.Band)
		if e.low < x.Min {
			barBreak(p, c, at(x.Min), 1)
		}
		if e.high > x.Max {
			barBreak(p, c, at(x.Max), -1)
		}
	}
	pt := at(e.value)
	if page.Finite(e.from) {
		from := at(e.from)
		c.StrokeLines(p.LineStyle(p.Muted, 0.08), []vg.Point{from, pt})
		p.OpenMark(c, page.Circle, from, 0.3*p.Unit, p.Plain)
	}
	lookMark(p, c, e.look, pt)
}

// barBreak marks that a bar continues beyond the frame by two slanted strokes
// across its end. side is the direction inwards: 1 from the left edge, -1 from
// the right.
func barBreak(p *page.Page, c draw.Canvas, end vg.Point, side float64) {
	style := p.LineStyle(p.Frame, 0.09)
	for _, off := range [...]float64{0.35, 0.6} {
		x := end.X + vg.Length(side*off)*p.Unit
		c.StrokeLine2(style, x-0.12*p.Unit, end.Y-0.42*p.Unit, x+0.12*p.Unit, end.Y+0.42*p.Unit)
	}
}

// ordinalRange returns a range of places, "1" or "2–7"; "" if low is 0, meaning
// unknown.
func ordinalRange(low, high int) string {
	switch {
	case low == 0:
		return ""
	case low == high:
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d–%d", low, high)
}
