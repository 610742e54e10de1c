package page

import (
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Plotter is a function used as a plot.Plotter.
type Plotter func(c draw.Canvas, pl *plot.Plot)

// Plot implements plot.Plotter.
func (f Plotter) Plot(c draw.Canvas, pl *plot.Plot) { f(c, pl) }

// Axis describes one axis in base units.
type Axis struct {
	Min, Max   float64
	Log        bool
	K          float64 // display units per base unit
	Title      string
	Ticks      []plot.Tick // nil = chosen by range; empty = none
	Unlabelled bool        // grid lines without tick labels, which a neighbouring panel shows
}

// Padded returns the axis widened by the fraction f of its length at either end;
// an axis of no length is widened by a default.
func (a Axis) Padded(f float64) Axis {
	if a.Log {
		l := (math.Log(a.Max) - math.Log(a.Min)) * f
		if l == 0 {
			l = 0.2
		}
		a.Min, a.Max = a.Min*math.Exp(-l), a.Max*math.Exp(l)
		return a
	}
	l := (a.Max - a.Min) * f
	if l == 0 {
		l = math.Max(math.Abs(a.Max)*0.1, 1e-9)
	}
	a.Min, a.Max = a.Min-l, a.Max+l
	return a
}

// Extent returns the range that an axis should show: that of all values but those
// so far from the others, most likely slips of the pen, that the axis would
// compress the others. Distances are measured on the scale of the axis. Values
// must be finite, and positive if log is set.
func Extent(values []float64, log bool) (low, high float64) {
	const (
		tail   = 0.05 // share of the values cut off at either end to get the middle part
		far    = 2.5  // values further from the middle part than this many of its widths are left out
		fewest = 8    // fewest values from which any is left out
		sample = 4096 // about the most values from which the middle part is found
	)
	low, high = math.Inf(-1), math.Inf(1)
	if len(values) >= fewest {
		var v []float64
		for i := 0; i < len(values); i += 1 + len(values)/sample {
			v = append(v, values[i])
		}
		slices.Sort(v)
		k := int(math.Ceil(tail * float64(len(v))))
		a, b := v[k], v[len(v)-1-k]
		switch {
		case b <= a: // no width to measure distances by
		case log:
			reach := math.Pow(b/a, far)
			low, high = a/reach, b*reach
		default:
			low, high = a-far*(b-a), b+far*(b-a)
		}
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, x := range values {
		if x >= low && x <= high {
			least, most = min(least, x), max(most, x)
		}
	}
	return least, most
}

// marks returns the ticks of the axis: those given, or about want of them.
func (a Axis) marks(want int) []plot.Tick {
	switch {
	case a.Ticks != nil:
		return a.Ticks
	case a.Log:
		return logTicks(a.Min, a.Max, a.K, want)
	}
	return linearTicks(a.Min, a.Max, a.K, want)
}

// NewPlot returns an empty plot in the page's style for an area. The title of the
// vertical axis is not drawn: YTitle writes it horizontally above the axis, where
// it is easier to read.
func (p *Page) NewPlot(x, y Axis, area vg.Rectangle) *plot.Plot {
	pl := plot.New()
	pl.BackgroundColor = nil
	pl.TextHandler = p.fonts
	tick := p.style(1, false, p.Muted)
	size := area.Size()
	set := func(a *plot.Axis, from Axis, want int) []plot.Tick {
		ticks := from.marks(want)
		a.Min, a.Max = from.Min, from.Max
		if from.Log {
			a.Scale = plot.LogScale{}
		}
		a.Padding = 0
		a.LineStyle = p.LineStyle(p.Frame, 0.05)
		a.Tick.LineStyle = a.LineStyle
		a.Tick.Length = 0.25 * p.Unit
		if a.Tick.Marker = plot.ConstantTicks(ticks); from.Unlabelled {
			a.Tick.Marker = plot.ConstantTicks(nil)
		}
		align := a.Tick.Label
		a.Tick.Label = tick
		a.Tick.Label.XAlign, a.Tick.Label.YAlign = align.XAlign, align.YAlign
		align = a.Label.TextStyle
		a.Label.TextStyle = p.style(1, false, p.Ink)
		a.Label.TextStyle.XAlign, a.Label.TextStyle.YAlign = align.XAlign, align.YAlign
		return ticks
	}
	xTicks := set(&pl.X, x, max(3, int(size.X/(5.5*p.Unit))))
	yTicks := set(&pl.Y, y, max(2, int(size.Y/(2.6*p.Unit))))
	pl.X.Label.Text = x.Title
	pl.X.Label.Padding = 0.15 * p.Unit
	pl.Y.LineStyle.Width = 0
	pl.Y.Tick.Length = 0
	pl.Add(Plotter(func(c draw.Canvas, pl *plot.Plot) {
		p.grid(c, pl, xTicks, yTicks)
		p.fineTicks(c, pl, x, y)
	}))
	return pl
}

// grid draws thin lines across the frame at the ticks.
func (p *Page) grid(c draw.Canvas, pl *plot.Plot, xTicks, yTicks []plot.Tick) {
	style := p.LineStyle(p.Grid, 0.045)
	for _, t := range xTicks {
		if x := c.X(pl.X.Norm(t.Value)); c.ContainsX(x) && !t.IsMinor() {
			c.StrokeLine2(style, x, c.Min.Y, x, c.Max.Y)
		}
	}
	for _, t := range yTicks {
		if y := c.Y(pl.Y.Norm(t.Value)); c.ContainsY(y) && !t.IsMinor() {
			c.StrokeLine2(style, c.Min.X, y, c.Max.X, y)
		}
	}
}

// fineTicks draws the unlabelled ticks of logarithmic axes inside the frame, as on
// a slide rule.
func (p *Page) fineTicks(c draw.Canvas, pl *plot.Plot, x, y Axis) {
	style, long := p.LineStyle(p.Frame, 0.04), 0.22*p.Unit
	if x.Log && !x.Unlabelled && len(x.marks(3)) > 0 {
		for _, v := range between(x.Min, x.Max, x.K) {
			at := c.X(pl.X.Norm(v))
			c.StrokeLine2(style, at, c.Min.Y, at, c.Min.Y+long)
		}
	}
	if y.Log && !y.Unlabelled && len(y.marks(3)) > 0 {
		for _, v := range between(y.Min, y.Max, y.K) {
			at := c.Y(pl.Y.Norm(v))
			c.StrokeLine2(style, c.Min.X, at, c.Min.X+long, at)
		}
	}
}

// YTitle writes the title of the vertical axis horizontally at the top of an area
// and returns the rest of the area.
func (p *Page) YTitle(s string, area vg.Rectangle) vg.Rectangle {
	if s == "" {
		return area
	}
	area.Max.Y -= 1.55 * p.Unit
	p.PutFit(s, 1, false, p.Ink, vg.Point{X: area.Min.X, Y: area.Max.Y + 0.6*p.Unit}, area.Size().X)
	return area
}

// In returns the page's canvas restricted to an area.
func (p *Page) In(area vg.Rectangle) draw.Canvas {
	return draw.Canvas{Canvas: p.Canvas.Canvas, Rectangle: area}
}

// Projection returns the function from data coordinates to points of the canvas.
// It does the same as pl.Transforms with one logarithm for each coordinate in
// place of three.
func Projection(c draw.Canvas, pl *plot.Plot) func(x, y float64) vg.Point {
	fx, fy := along(pl.X, c.Min.X, c.Max.X), along(pl.Y, c.Min.Y, c.Max.Y)
	return func(x, y float64) vg.Point { return vg.Point{X: fx(x), Y: fy(y)} }
}

func along(a plot.Axis, from, to vg.Length) func(v float64) vg.Length {
	if _, log := a.Scale.(plot.LogScale); log {
		low := math.Log(a.Min)
		scale := float64(to-from) / (math.Log(a.Max) - low)
		return func(v float64) vg.Length { return from + vg.Length((math.Log(v)-low)*scale) }
	}
	scale := float64(to-from) / (a.Max - a.Min)
	return func(v float64) vg.Length { return from + vg.Length((v-a.Min)*scale) }
}

// Finite reports whether no value is NaN or infinite.
func Finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
