package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// estimate is one row of a chart that lists estimates with their ranges.
type estimate struct {
	label, detail, hint string
	value, low, high    float64
	bold                bool
	look                func(p *page) (s shape, colour color.NRGBA, open bool)
	from                float64 // where the value was moved from; NaN = nowhere
}

func plainLook(p *page) (shape, color.NRGBA, bool) { return circle, p.plain, false }
func openLook(p *page) (shape, color.NRGBA, bool)  { return circle, p.plain, true }

// The two ends of a ranking have a look of their own: being first is not being
// dear.
func firstLook(p *page) (shape, color.NRGBA, bool) { return diamond, p.off, false }
func lastLook(p *page) (shape, color.NRGBA, bool)  { return square, p.off, true }

func upLook(p *page) (shape, color.NRGBA, bool)   { return triangleUp, p.above, false }
func downLook(p *page) (shape, color.NRGBA, bool) { return triangleDown, p.below, false }

func lookMark(p *page, c draw.Canvas, look func(*page) (shape, color.NRGBA, bool), pt vg.Point) {
	s, colour, open := look(p)
	if open {
		p.openMark(c, s, pt, 0.34*p.unit, colour)
		return
	}
	p.mark(c, s, pt, 0.36*p.unit, colour)
}

func lookItem(words string, look func(*page) (shape, color.NRGBA, bool)) legendItem {
	return legendItem{text: words, width: 0.8, draw: func(p *page, at vg.Point) { lookMark(p, p.Canvas, look, at) }}
}

func rangeItem(words string) legendItem {
	return legendItem{text: words, width: 2, draw: func(p *page, at vg.Point) {
		p.rangeBar(p.Canvas, func(x float64) vg.Point { return vg.Point{X: at.X + vg.Length(x)*p.unit, Y: at.Y} }, -1, 1, 0.5, p.theme.band)
	}}
}

// estimates is a chart of such rows, first row on top.
type estimates struct {
	rows     []estimate
	x        axis // min and max are found
	zero     float64
	hasZero  bool
	bothEnds bool // of too many rows the two ends are shown, else the first
	note     string
	ratio    bool // axis in per cent above and below
}

// ways are the legend of rows that rose, fell or did neither; of those there are.
func (v *estimates) ways(up, down, neither string) []legendItem {
	var items []legendItem
	for _, w := range []struct {
		words string
		look  func(*page) (shape, color.NRGBA, bool)
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

// visible are the rows a page has room for and how many of them come before
// the gap.
func (v *estimates) visible(room int) (shown []estimate, first, left int) {
	if len(v.rows) <= room {
		return v.rows, len(v.rows), 0
	}
	if !v.bothEnds {
		return v.rows[:room-1], room - 1, len(v.rows) - room + 1
	}
	a, b := ends(len(v.rows), room)
	return append(append([]estimate{}, v.rows[:a]...), v.rows[b:]...), a, b - a
}

func (v *estimates) draw(p *page, area vg.Rectangle) string {
	shown, first, left := v.visible(p.rowsThatFit(area))
	x := v.x
	x.min, x.max = math.Inf(1), math.Inf(-1)
	take := func(values ...float64) {
		for _, value := range values {
			if finite(value) && (!x.log || value > 0) {
				x.min, x.max = math.Min(x.min, value), math.Max(x.max, value)
			}
		}
	}
	for _, e := range shown {
		take(e.value, e.from)
	}
	if v.hasZero {
		take(v.zero)
	}
	// A range far wider than the estimates themselves would squeeze them.
	span := x.max - x.min
	const widest = 1.5
	for _, e := range shown {
		for _, end := range [...]float64{e.low, e.high} {
			if x.log || (end > x.min-widest*span && end < x.max+widest*span) || span == 0 {
				take(end)
			}
		}
	}
	x = x.padded(0.06)
	if v.ratio {
		x.ticks = roomyTicks(x, p, area)
	}
	var rows []row
	for i, e := range shown {
		if i == first {
			rows = append(rows, gapRow(left))
		}
		rows = append(rows, row{label: e.label, bold: e.bold, detail: e.detail, hint: e.hint,
			draw: func(c draw.Canvas, at func(float64) vg.Point) { v.row(p, c, at, e, x) }})
	}
	if first == len(shown) && left > 0 {
		rows = append(rows, gapRow(left))
	}
	p.drawRows(area, x, rows, func(c draw.Canvas, at func(x, y float64) vg.Point) {
		if v.hasZero {
			level := at(v.zero, 0).X
			c.StrokeLines(p.lineStyle(p.theme.line, 0.09), []vg.Point{{X: level, Y: c.Min.Y}, {X: level, Y: c.Max.Y}})
		}
	})
	return v.note
}

// roomyTicks are ticks in per cent above and below that do not touch one
// another on the part of the area that names and values leave.
func roomyTicks(x axis, p *page, area vg.Rectangle) []plot.Tick {
	const (
		least = 0.45 // of the area is left for the drawing
		each  = 4.4  // units a label needs
	)
	apart := each * float64(p.unit) / (least * float64(area.Size().X)) * math.Log(x.max/x.min)
	kept := []plot.Tick{}
	for _, t := range ratioTicks(x.min, x.max) {
		if t.Value == 1 {
			t.Label = "0" + nbsp + "%"
		}
		if !slices.ContainsFunc(kept, func(k plot.Tick) bool { return math.Abs(math.Log(t.Value/k.Value)) < apart }) {
			kept = append(kept, t)
		}
	}
	return kept
}

func gapRow(left int) row {
	return row{label: fmt.Sprintf("… %s more …", plainNumber(float64(left))), draw: func(draw.Canvas, func(float64) vg.Point) {}}
}

func (v *estimates) row(p *page, c draw.Canvas, at func(float64) vg.Point, e estimate, x axis) {
	if finite(e.low, e.high) {
		p.rangeBar(c, at, math.Max(e.low, x.min), math.Min(e.high, x.max), 0.5, p.theme.band)
		if e.low < x.min {
			barBreak(p, c, at(x.min), 1)
		}
		if e.high > x.max {
			barBreak(p, c, at(x.max), -1)
		}
	}
	pt := at(e.value)
	if finite(e.from) {
		from := at(e.from)
		c.StrokeLines(p.lineStyle(p.muted, 0.08), []vg.Point{from, pt})
		p.openMark(c, circle, from, 0.3*p.unit, p.plain)
	}
	lookMark(p, c, e.look, pt)
}

// barBreak marks that a bar goes on beyond the frame: two slanted strokes across
// its end, side units inwards.
func barBreak(p *page, c draw.Canvas, end vg.Point, side float64) {
	style := p.lineStyle(p.theme.frame, 0.09)
	for _, off := range [...]float64{0.35, 0.6} {
		x := end.X + vg.Length(side*off)*p.unit
		c.StrokeLine2(style, x-0.12*p.unit, end.Y-0.42*p.unit, x+0.12*p.unit, end.Y+0.42*p.unit)
	}
}

// ordinalRange is a range of places: "1", "2–7".
func ordinalRange(low, high int) string {
	switch {
	case low == 0:
		return ""
	case low == high:
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d–%d", low, high)
}

// ratioTicks are ticks in percent above or below, at ratios that are read
// easily and stand well apart.
func ratioTicks(min, max float64) []plot.Tick {
	const apart = 0.055 // of the axis
	var ticks []plot.Tick
	span := math.Log(max / min)
	// Ratios that matter most come first: later ones fill the room between.
	ratios := []float64{1, 2, 0.5, 1.5, 0.75, 4, 0.25, 1.25, 3, 10, 0.1, 100, 0.01}
	if span < math.Log(2) {
		ratios = []float64{1, 1.2, 0.8, 1.1, 0.9, 1.05, 0.95, 1.3, 1.4, 0.7, 1.02, 0.98, 1.01, 0.99}
	}
	for _, r := range ratios {
		clear := r > min && r < max
		for _, t := range ticks {
			clear = clear && math.Abs(math.Log(r/t.Value)) > apart*span
		}
		if clear {
			ticks = append(ticks, plot.Tick{Value: r, Label: signed(100*(r-1), 0) + nbsp + "%"})
		}
	}
	return ticks
}
