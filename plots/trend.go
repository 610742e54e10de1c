package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/labels"
	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/trend"
)

const (
	maxLabels  = 12   // names drawn on one chart; more would not be legible
	maxFlagged = 1000 // most flagged marks drawn; on a dense chart the rest are counted in its cells
)

// Trend draws a fitted trend: a mark for each point (a product, or an opening),
// the fitted line with its 95 % prediction band, and the names of up to twelve
// flagged points. Axes are logarithmic where the trend is. Flags of other trends
// are ignored. With more than page.DenseFrom points the unflagged ones are shown
// as cells shaded by their count.
//
// It returns ErrNothingToDraw if the trend is nil, has too few points for a line
// or has no point that can be drawn.
func Trend(t *trend.Trend, flags []trend.Flag, s Source) (*Chart, error) {
	if t == nil {
		return nil, fmt.Errorf("trend: %w", ErrNothingToDraw)
	}
	if t.TooFew {
		return nil, fmt.Errorf("trend %s has too few points: %w", t.ID, ErrNothingToDraw)
	}
	s = s.withDefaults()
	v := &trendView{t: t, flags: flagsOf(t, flags), units: s.Units,
		predictor: words.ScaleOf(t.Predictor, s.Units), response: words.ScaleOf(t.Response, s.Units)}
	if v.points = v.drawable(); len(v.points) == 0 {
		return nil, fmt.Errorf("trend %s has no points: %w", t.ID, ErrNothingToDraw)
	}
	v.match()
	c := &Chart{
		Title:    v.title(),
		Subtitle: v.subtitle(),
		Source:   v.behind(s),
		counted:  words.Figures(len(v.points), v.one(), v.many()),
		legend:   verdictKey(v.verdicts(), 0.32),
		body:     v.draw,
	}
	if len(v.points) <= page.DenseFrom {
		v.makers = makersOf(v.points)
		c.makers = v.makers
	}
	return c, nil
}

// behind returns the source with the number of openings behind the points in
// place of that of the whole log; 0 where each point is an opening, since
// Chart.counted gives that number already.
func (v *trendView) behind(s Source) Source {
	s.Openings = 0
	if v.t.Per != trend.PerOpening {
		for _, p := range v.points {
			s.Openings += p.N
		}
	}
	return s
}

// trendView holds a trend and what is needed to draw it.
type trendView struct {
	t       *trend.Trend
	flags   []trend.Flag
	points  []trend.Point
	flagged map[int]int // index of a point -> index of its flag
	units   words.Units
	makers  makerMarks

	predictor, response words.Scale
}

func (v *trendView) one() string {
	if v.t.Per == trend.PerOpening {
		return "opening"
	}
	return "product"
}

func (v *trendView) many() string { return v.one() + "s" }

// flagsOf returns the flags of the trend, sorted by sortFlags.
func flagsOf(t *trend.Trend, flags []trend.Flag) []trend.Flag {
	own := slices.DeleteFunc(slices.Clone(flags), func(f trend.Flag) bool { return f.Trend != t.ID })
	sortFlags(own)
	return own
}

// verdicts returns the set of verdicts that occur among the flags.
func (v *trendView) verdicts() map[verdict]bool {
	there := map[verdict]bool{}
	for _, f := range v.flags {
		there[verdictOf(f)] = true
	}
	return there
}

// farthest limits the values that are drawn: on a linear axis to magnitudes below
// it, on a logarithmic one to values between its inverse and itself. Values
// beyond are not measurements and would overflow the axis.
const farthest = 1e100

// drawable returns the trend's points without those beyond farthest, not finite
// or, on a log scale, not positive.
func (v *trendView) drawable() []trend.Point {
	good := func(x float64) bool {
		return math.Abs(x) < farthest && (v.t.Scale != trend.Log || x > 1/farthest)
	}
	bad := func(q trend.Point) bool { return !good(q.X) || !good(q.Y) }
	if !slices.ContainsFunc(v.t.Points, bad) {
		return v.t.Points
	}
	return slices.DeleteFunc(slices.Clone(v.t.Points), bad)
}

// match finds the point of each flag: the one of the same product whose first
// line in the log is the same. The product alone is not enough, since each
// opening may be a point.
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

func (v *trendView) draw(p *page.Page, area vg.Rectangle) string {
	x, y := v.axes()
	area = p.YTitle(v.response.Title(words.Of(v.t.Response).Axis), area)
	pl := p.NewPlot(x, y, area)
	var note string
	pl.Add(page.Plotter(func(c draw.Canvas, pl *plot.Plot) { note = v.plot(p, c, pl) }))
	pl.Draw(p.In(area))
	return note
}

// axes returns axes that span the points and, within a limit that keeps the
// points from being compressed, the prediction band.
func (v *trendView) axes() (x, y page.Axis) {
	isLog := v.t.Scale == trend.Log
	x = page.Axis{Log: isLog, K: v.predictor.K, Title: v.predictor.Title(words.Of(v.t.Predictor).Axis)}
	y = page.Axis{Log: isLog, K: v.response.K}
	values := make([]float64, len(v.points))
	for i, q := range v.points {
		values[i] = q.X
	}
	x.Min, x.Max = page.Extent(values, isLog)
	for i, q := range v.points {
		values[i] = q.Y
	}
	y.Min, y.Max = page.Extent(values, isLog)
	const most = 0.3 // of the points' own span may be added above and below for the band
	room := y.Padded(most)
	for _, b := range v.t.Band {
		if b.X >= x.Min && b.X <= x.Max && page.Finite(b.Low, b.High) {
			y.Min = min(y.Min, max(b.Low, room.Min))
			y.Max = max(y.Max, min(b.High, room.Max))
		}
	}
	return x.Padded(0.05), y.Padded(0.06)
}

func (v *trendView) plot(p *page.Page, c draw.Canvas, pl *plot.Plot) string {
	at := page.Projection(c, pl)
	line, edges := v.band(p, c, at)

	s := labels.Scene{Frame: labels.Shrunk(c.Rectangle, 0.2*p.Unit), Lines: line}
	r := p.MarkRadius(len(v.points))
	edge := labels.Shrunk(c.Rectangle, r)
	place := func(i int) vg.Point { return labels.Nearest(edge, at(v.points[i].X, v.points[i].Y)) }
	s.Busy = labels.NewCrowd(c.Rectangle, 0.3*p.Unit)
	if len(v.points) > page.DenseFrom {
		v.drawDense(p, c, at, s.Busy)
		c.StrokeLines(p.LineStyle(p.Background, 0.26), line...)
		c.StrokeLines(p.Dashed(p.Line, 0.07), edges...)
		s.Lines = slices.Concat(line, edges)
	} else {
		for i, q := range v.points {
			if _, ok := v.flagged[i]; ok {
				continue
			}
			pt := place(i)
			s.Busy.Add(pt, 1)
			draw := p.Mark
			if beyond(pl, q) {
				draw = p.OpenMark
			}
			look, colour := page.Circle, p.Plain
			if p.ByMaker {
				look, colour = v.makers.look(p, q.Maker)
			}
			p.Hint(v.hint(q), func() { draw(c, look, pt, r, colour) })
		}
	}
	s.Busy.Sum()
	c.StrokeLines(p.LineStyle(p.Line, 0.11), line...)
	off := func(i int) bool { return beyond(pl, v.points[i]) }
	return words.Joined(" · ", v.drawFlagged(p, c, place, off, s, max(r*1.3, 0.34*p.Unit)), v.outside(pl))
}

// outside returns a note of how many points lie beyond the frame. They are drawn
// at its edge; on a dense chart unflagged ones are not drawn.
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
	return words.Quantity(n, v.one(), v.many()) + " beyond the frame"
}

// beyond reports whether a point lies outside the frame.
func beyond(pl *plot.Plot, q trend.Point) bool {
	return q.X < pl.X.Min || q.X > pl.X.Max || q.Y < pl.Y.Min || q.Y > pl.Y.Max
}

// drawDense shades cells by the number of unflagged points in them and adds the
// centres of these cells to busy.
func (v *trendView) drawDense(p *page.Page, c draw.Canvas, at func(x, y float64) vg.Point, busy *labels.Crowd) {
	g := page.NewHexGrid(c.Rectangle, 0.5*p.Unit)
	for i, q := range v.points {
		if f, ok := v.flagged[i]; !ok || f >= maxFlagged {
			g.Add(at(q.X, q.Y))
		}
	}
	p.DrawHexes(c, g)
	for _, centre := range g.Centres() {
		busy.Add(centre, 1)
	}
}

// band draws the prediction band and returns the fitted line and the edges of the
// band, both clipped to the frame.
func (v *trendView) band(p *page.Page, c draw.Canvas, at func(x, y float64) vg.Point) (line, edges [][]vg.Point) {
	var upper, lower, middle []vg.Point
	for _, b := range v.t.Band {
		if !page.Finite(b.X, b.Fit, b.Low, b.High) || v.t.Scale == trend.Log && min(b.X, b.Fit, b.Low, b.High) <= 0 {
			continue
		}
		upper = append(upper, at(b.X, b.High))
		lower = append(lower, at(b.X, b.Low))
		middle = append(middle, at(b.X, b.Fit))
	}
	if len(middle) < 2 {
		return nil, nil
	}
	back := slices.Clone(lower)
	slices.Reverse(back)
	c.FillPolygon(p.Band, c.ClipPolygonXY(slices.Concat(upper, back)))
	return c.ClipLinesXY(middle), c.ClipLinesXY(upper, lower)
}

// drawFlagged draws the flagged points, weakest first so that the strongest lie
// on top, then names as many as fit. place gives the position of a point's mark,
// off whether the point lies beyond the frame. It returns a note of how many
// flagged points are not named.
func (v *trendView) drawFlagged(p *page.Page, c draw.Canvas, place func(point int) vg.Point, off func(point int) bool, s labels.Scene, r vg.Length) string {
	where := make([]int, len(v.flags)) // index of a flag -> index of its point + 1; 0 = no point
	for i, f := range v.flagged {
		where[f] = i + 1
	}
	for f := min(len(v.flags), maxFlagged) - 1; f >= 0; f-- {
		if where[f] == 0 {
			continue
		}
		q, pt := v.points[where[f]-1], place(where[f]-1)
		s.Marks = append(s.Marks, labels.Obstacle{At: pt, Radius: page.Reach(r)})
		p.Hint(v.hint(q)+". "+verdictOf(v.flags[f]).hint(), func() { verdictOf(v.flags[f]).mark(p, c, pt, r) })
	}
	var names []page.NameTag
	for i, q := range v.points {
		if p.Highlighted(words.Name(q.Maker, q.Part)) {
			pt := place(i)
			p.Ring(c, pt, r)
			if _, ok := v.flagged[i]; !ok && len(names) < maxLabels {
				s.Marks = append(s.Marks, labels.Obstacle{At: pt, Radius: page.Reach(r)})
				names = append(names, page.NameTag{Name: words.Name(q.Maker, q.Part), Detail: v.from(q), At: pt, Reach: page.Reach(r) + 0.2*p.Unit})
			}
		}
	}
	asked := len(names)
	for f, flag := range v.flags {
		if where[f] == 0 || len(names) == maxLabels {
			continue
		}
		detail := words.Percent(flag.Ratio)
		if off(where[f] - 1) {
			detail += ", beyond the frame"
		}
		names = append(names, page.NameTag{Name: words.Name(flag.Maker, flag.Part), Detail: detail,
			At: place(where[f] - 1), Reach: page.Reach(r)})
	}
	named := p.NameTags(c, names, s)
	if rest := len(v.flagged) - (named - asked); rest > 0 {
		return fmt.Sprintf("and %s more off the line, not named", words.Number(float64(rest)))
	}
	return ""
}

// from returns the distance of a point from the line, in per cent, as text; "" if
// the scale is not logarithmic.
func (v *trendView) from(q trend.Point) string {
	if v.t.Scale != trend.Log || !(q.Expected > 0) {
		return ""
	}
	return words.Percent(q.Y / q.Expected)
}

func (v *trendView) hint(q trend.Point) string {
	s := fmt.Sprintf("%s: %s %s at %s %s", words.Name(q.Maker, q.Part),
		words.Of(v.t.Response).Noun, words.Clean(v.units.Format(v.t.Response, q.Y)),
		words.Of(v.t.Predictor).Noun, words.Clean(v.units.Format(v.t.Predictor, q.X)))
	if page.Finite(q.Expected, q.Low, q.High) {
		s += fmt.Sprintf(", the line gives %s (%s to %s)", words.Clean(v.units.Format(v.t.Response, q.Expected)),
			words.Clean(v.units.Format(v.t.Response, q.Low)), words.Clean(v.units.Format(v.t.Response, q.High)))
	}
	return s
}
