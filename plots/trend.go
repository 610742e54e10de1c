package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/trend"
)

const (
	maxLabels  = 12   // names drawn on one chart; more cannot be read
	maxFlagged = 1000 // flagged marks drawn over a density; the rest stay in its cells
)

// Trend draws a fitted trend: a mark for each fitted point (a product, or an
// opening), the line the flags are measured from with its 95 % prediction
// band, and every flagged point named. Axes are logarithmic where the trend
// is. Flags of other trends are ignored. Above a few thousand points the
// unflagged ones are shown as shaded cells.
//
// It returns ErrNothingToDraw where the trend has too few points for a line.
func Trend(t *trend.Trend, flags []trend.Flag, s Source) (*Chart, error) {
	if t == nil {
		return nil, fmt.Errorf("trend: %w", ErrNothingToDraw)
	}
	if t.TooFew {
		return nil, fmt.Errorf("trend %s has too few points: %w", t.ID, ErrNothingToDraw)
	}
	s = s.withDefaults()
	v := &trendView{t: t, flags: flagsOf(t, flags), units: s.Units}
	if v.points = v.drawable(); len(v.points) == 0 {
		return nil, fmt.Errorf("trend %s has no points: %w", t.ID, ErrNothingToDraw)
	}
	v.match()
	c := &Chart{
		Title:    v.title(),
		Subtitle: v.subtitle(),
		Source:   v.behind(s),
		counted:  figures(len(v.points), v.one(), v.many()),
		legend:   flagKey(v.flags),
		body:     v.draw,
	}
	if len(v.points) <= denseFrom {
		v.makers = makersOf(v.points)
		c.makers = v.makers
	}
	return c, nil
}

// behind is the source with the openings behind the points instead of all of the
// log; where points are openings they are counted already.
func (v *trendView) behind(s Source) Source {
	s.Openings = 0
	if v.t.Per != trend.PerOpening {
		for _, p := range v.points {
			s.Openings += p.N
		}
	}
	return s
}

// trendView holds what is drawn of a trend.
type trendView struct {
	t       *trend.Trend
	flags   []trend.Flag
	points  []trend.Point
	flagged map[int]int // index of a point -> index of its flag
	units   Units
	makers  makerMarks
}

func (v *trendView) one() string {
	if v.t.Per == trend.PerOpening {
		return "opening"
	}
	return "product"
}

func (v *trendView) many() string { return v.one() + "s" }

// flagsOf returns the trend's flags, strongest first: clear ones before
// those worth a second look, each by distance from the line.
func flagsOf(t *trend.Trend, flags []trend.Flag) []trend.Flag {
	var out []trend.Flag
	for _, f := range flags {
		if f.Trend == t.ID {
			out = append(out, f)
		}
	}
	sortFlags(out)
	return out
}

// farthest is the size beyond which (and, on a log scale, below the inverse of
// which) a value is no measurement and has no place on an axis.
const farthest = 1e100

// drawable leaves out points that have no place on the chart.
func (v *trendView) drawable() []trend.Point {
	good := func(x float64) bool {
		return math.Abs(x) < farthest && (v.t.Scale != trend.Log || x > 1/farthest)
	}
	for i, p := range v.t.Points {
		if good(p.X) && good(p.Y) {
			continue
		}
		out := append([]trend.Point(nil), v.t.Points[:i]...)
		for _, q := range v.t.Points[i:] {
			if good(q.X) && good(q.Y) {
				out = append(out, q)
			}
		}
		return out
	}
	return v.t.Points
}

// match finds the points the flags speak of: the same product and, as every
// opening may be a point of its own, the same first line of the log.
func (v *trendView) match() {
	first := func(lines []int) int {
		if len(lines) == 0 {
			return 0
		}
		return lines[0]
	}
	byLine := make(map[int][]int, len(v.flags))
	for i, f := range v.flags {
		byLine[first(f.Lines)] = append(byLine[first(f.Lines)], i)
	}
	v.flagged = make(map[int]int, len(v.flags))
	for i, p := range v.points {
		for _, f := range byLine[first(p.Lines)] {
			if v.flags[f].Maker == p.Maker && v.flags[f].Part == p.Part {
				v.flagged[i] = f
				break
			}
		}
	}
}

func (v *trendView) draw(p *page, area vg.Rectangle) string {
	x, y := v.axes()
	area = p.yTitle(axisTitle(v.t.Response, v.units), area)
	pl := p.newPlot(x, y, area)
	var note string
	pl.Add(plotter(func(c draw.Canvas, pl *plot.Plot) { note = v.plot(p, c, pl) }))
	pl.Draw(p.in(area))
	return note
}

// axes spans the points and, as far as it does not press them flat, the band.
func (v *trendView) axes() (x, y axis) {
	isLog := v.t.Scale == trend.Log
	x = axis{log: isLog, k: perBase(v.t.Predictor, v.units), title: axisTitle(v.t.Predictor, v.units)}
	y = axis{log: isLog, k: perBase(v.t.Response, v.units)}
	values := make([]float64, len(v.points))
	for i, q := range v.points {
		values[i] = q.X
	}
	x.min, x.max = extent(values, isLog)
	for i, q := range v.points {
		values[i] = q.Y
	}
	y.min, y.max = extent(values, isLog)
	const most = 0.3 // of the points' own span, above and below, for the band
	room := y.padded(most)
	for _, b := range v.t.Band {
		if b.X >= x.min && b.X <= x.max && finite(b.Low, b.High) {
			y.min = min(y.min, max(b.Low, room.min))
			y.max = max(y.max, min(b.High, room.max))
		}
	}
	return x.padded(0.05), y.padded(0.06)
}

func (v *trendView) plot(p *page, c draw.Canvas, pl *plot.Plot) string {
	at := projection(c, pl)
	line, edges := v.band(p, c, at)

	s := scene{frame: shrunk(c.Rectangle, 0.2*p.unit), lines: line}
	r := p.markRadius(len(v.points))
	edge := shrunk(c.Rectangle, r)
	place := func(i int) vg.Point { return nearest(edge, at(v.points[i].X, v.points[i].Y)) }
	s.busy = newCrowd(c.Rectangle, 0.3*p.unit)
	if len(v.points) > denseFrom {
		v.drawDense(p, c, at, s.busy)
		c.StrokeLines(p.lineStyle(p.background, 0.26), line...)
		c.StrokeLines(p.dashed(p.theme.line, 0.07), edges...)
		s.lines = slices.Concat(line, edges)
	} else {
		for i, q := range v.points {
			if _, ok := v.flagged[i]; ok {
				continue
			}
			pt := place(i)
			s.busy.add(pt, 1)
			draw := p.mark
			if beyond(pl, q) {
				draw = p.openMark
			}
			look, colour := circle, p.plain
			if p.byMaker {
				look, colour = v.makers.look(p, q.Maker)
			}
			p.hint(v.hint(q), func() { draw(c, look, pt, r, colour) })
		}
	}
	s.busy.sum()
	c.StrokeLines(p.lineStyle(p.theme.line, 0.11), line...)
	off := func(i int) bool { return beyond(pl, v.points[i]) }
	return joined(v.drawFlagged(p, c, place, off, s, max(r*1.3, 0.34*p.unit)), v.outside(pl))
}

// outside says how many points lie beyond the frame; they are drawn at its
// edge, or not at all where cells are shaded.
func (v *trendView) outside(pl *plot.Plot) string {
	n := 0
	for _, q := range v.points {
		if beyond(pl, q) {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return quantity(n, v.one(), v.many()) + " beyond the frame"
}

// beyond reports whether a point lies outside the frame.
func beyond(pl *plot.Plot, q trend.Point) bool {
	return q.X < pl.X.Min || q.X > pl.X.Max || q.Y < pl.Y.Min || q.Y > pl.Y.Max
}

// drawDense shades cells by how many unflagged points lie in them.
func (v *trendView) drawDense(p *page, c draw.Canvas, at func(x, y float64) vg.Point, busy *crowd) {
	g := newHexGrid(c.Rectangle, 0.5*p.unit)
	for i, q := range v.points {
		if f, ok := v.flagged[i]; !ok || f >= maxFlagged {
			g.add(at(q.X, q.Y))
		}
	}
	p.drawHexes(c, g)
	for _, centre := range g.centres() {
		busy.add(centre, 1)
	}
}

// band draws the prediction band and returns the line and the band's edges,
// as far as they lie within the frame.
func (v *trendView) band(p *page, c draw.Canvas, at func(x, y float64) vg.Point) (line, edges [][]vg.Point) {
	var upper, lower, middle []vg.Point
	for _, b := range v.t.Band {
		if !finite(b.X, b.Fit, b.Low, b.High) || v.t.Scale == trend.Log && min(b.X, b.Fit, b.Low, b.High) <= 0 {
			continue
		}
		upper = append(upper, at(b.X, b.High))
		lower = append(lower, at(b.X, b.Low))
		middle = append(middle, at(b.X, b.Fit))
	}
	if len(middle) < 2 {
		return nil, nil
	}
	ring := append([]vg.Point(nil), upper...)
	for i := len(lower) - 1; i >= 0; i-- {
		ring = append(ring, lower[i])
	}
	c.FillPolygon(p.theme.band, c.ClipPolygonXY(ring))
	return c.ClipLinesXY(middle), c.ClipLinesXY(upper, lower)
}

// drawFlagged draws the flagged points where place puts them, weakest first
// so that the strongest lie on top, then names as many as fit; off says which
// lie beyond the frame. It returns a note on those not named.
func (v *trendView) drawFlagged(p *page, c draw.Canvas, place func(point int) vg.Point, off func(point int) bool, s scene, r vg.Length) string {
	where := make([]int, len(v.flags)) // flag -> point + 1
	for i, f := range v.flagged {
		where[f] = i + 1
	}
	for f := min(len(v.flags), maxFlagged) - 1; f >= 0; f-- {
		if where[f] == 0 {
			continue
		}
		q, pt := v.points[where[f]-1], place(where[f]-1)
		s.marks = append(s.marks, obstacle{at: pt, radius: reach(r)})
		p.hint(v.hint(q)+". "+flagWords(v.flags[f]), func() { flagMark(p, c, v.flags[f], pt, r) })
	}
	var names []nameTag
	for i, q := range v.points {
		if p.highlighted(name(q.Maker, q.Part)) {
			pt := place(i)
			p.ring(c, pt, r)
			if _, ok := v.flagged[i]; !ok && len(names) < maxLabels {
				s.marks = append(s.marks, obstacle{at: pt, radius: reach(r)})
				names = append(names, nameTag{name: name(q.Maker, q.Part), detail: v.from(q), at: pt, reach: reach(r) + 0.2*p.unit})
			}
		}
	}
	asked := len(names)
	for f, flag := range v.flags {
		if where[f] == 0 || len(names) == maxLabels {
			continue
		}
		detail := percent(flag.Ratio)
		if off(where[f] - 1) {
			detail += ", beyond the frame"
		}
		names = append(names, nameTag{name: name(flag.Maker, flag.Part), detail: detail,
			at: place(where[f] - 1), reach: reach(r)})
	}
	named := p.nameTags(c, names, s)
	if rest := len(v.flagged) - (named - asked); rest > 0 {
		return fmt.Sprintf("and %s more off the line, not named", plainNumber(float64(rest)))
	}
	return ""
}

// from says how far a point lies from what is expected: per cent on a log scale,
// else nothing.
func (v *trendView) from(q trend.Point) string {
	if v.t.Scale != trend.Log || !(q.Expected > 0) {
		return ""
	}
	return percent(q.Y / q.Expected)
}

func (v *trendView) hint(q trend.Point) string {
	s := fmt.Sprintf("%s: %s %s at %s %s", name(q.Maker, q.Part),
		wordsOf(v.t.Response).noun, clean(v.units.Format(v.t.Response, q.Y)),
		wordsOf(v.t.Predictor).noun, clean(v.units.Format(v.t.Predictor, q.X)))
	if finite(q.Expected, q.Low, q.High) {
		s += fmt.Sprintf(", the line gives %s (%s to %s)", clean(v.units.Format(v.t.Response, q.Expected)),
			clean(v.units.Format(v.t.Response, q.Low)), clean(v.units.Format(v.t.Response, q.High)))
	}
	return s
}
