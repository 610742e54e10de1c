package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/trend"
)

// maxRanked is the number of products a ranked chart shows; of more, the two
// ends.
const maxRanked = 40

// Residuals draws a trend's points ranked from furthest below the line to
// furthest above it, each against its own 95 % prediction range, the flagged
// ones named. Where the trend is on a log scale the distance is a ratio to
// what the line gives, otherwise a difference. Of more than 40 points only
// the two ends are drawn, and the chart says so.
//
// It returns ErrNothingToDraw where the trend has too few points for a line.
func Residuals(t *trend.Trend, flags []trend.Flag, s Source) (*Chart, error) {
	if t == nil || t.TooFew {
		return nil, fmt.Errorf("residuals: the trend has too few points: %w", ErrNothingToDraw)
	}
	s = s.withDefaults()
	v := &residualView{trendView: trendView{t: t, flags: flagsOf(t, flags), units: s.Units}}
	for _, q := range v.drawable() {
		if finite(q.Expected, q.Low, q.High) && (t.Scale != trend.Log || min(q.Expected, q.Low, q.High) > 0) {
			v.points = append(v.points, q)
		}
	}
	if len(v.points) == 0 {
		return nil, fmt.Errorf("residuals: trend %s has no points: %w", t.ID, ErrNothingToDraw)
	}
	v.all, s = len(v.points), v.behind(s)
	slices.SortStableFunc(v.points, func(a, b trend.Point) int {
		return cmp.Or(cmp.Compare(v.off(a, a.Y), v.off(b, b.Y)), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
	if v.all > maxRanked {
		v.gap = maxRanked / 2
		v.points = slices.Concat(v.points[:v.gap], v.points[v.all-v.gap:])
	}
	v.match()
	return &Chart{
		Title:    v.title(),
		Subtitle: v.subtitle(),
		Source:   s,
		counted:  figures(v.all, v.one(), v.many()),
		legend:   flagKey(v.flags),
		body:     v.draw,
	}, nil
}

type residualView struct {
	trendView
	all int // points before those in the middle were left out
	gap int // index of the first point after the gap; 0 = no gap
}

// off is how far a value lies from what the line gives for q: a ratio on the
// log scale, else a difference.
func (v *residualView) off(q trend.Point, value float64) float64 {
	if v.t.Scale == trend.Log {
		return value / q.Expected
	}
	return value - q.Expected
}

// rank is the abscissa of a point; the gap is three places wide.
func (v *residualView) rank(i int) float64 {
	if v.gap > 0 && i >= v.gap {
		return float64(i + 3)
	}
	return float64(i)
}

func (v *residualView) draw(p *page, area vg.Rectangle) string {
	n := len(v.points)
	x := axis{min: -0.8, max: v.rank(n-1) + 0.8, k: 1, ticks: []plot.Tick{},
		title: fmt.Sprintf("%s, from furthest below the line to furthest above", v.many())}
	y := axis{log: v.t.Scale == trend.Log, k: perBase(v.t.Response, v.units)}
	values := make([]float64, len(v.points))
	for i, q := range v.points {
		values[i] = v.off(q, q.Y)
	}
	y.min, y.max = extent(values, y.log)
	for _, q := range v.points {
		y.min, y.max = min(y.min, v.off(q, q.Low)), max(y.max, v.off(q, q.High))
	}
	y = y.padded(0.16)
	response := wordsOf(v.t.Response).noun
	title := fmt.Sprintf("%s above or below what the line gives", response)
	if y.log {
		y.ticks = ratioTicks(y.min, y.max)
	} else if symbol := v.units.Of(v.t.Response).Symbol; symbol != "" {
		title += " (" + clean(symbol) + ")"
	}
	area = p.yTitle(title, area)
	pl := p.newPlot(x, y, area)
	var note string
	pl.Add(plotter(func(c draw.Canvas, pl *plot.Plot) { note = v.plot(p, c, pl) }))
	pl.Draw(p.in(area))
	return note
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
			label := percent(r)
			if r == 1 {
				label = "as predicted"
			}
			ticks = append(ticks, plot.Tick{Value: r, Label: label})
		}
	}
	return ticks
}

func (v *residualView) plot(p *page, c draw.Canvas, pl *plot.Plot) string {
	at := projection(c, pl)
	zero := v.off(trend.Point{Expected: 1}, 1)
	s := scene{frame: shrunk(c.Rectangle, 0.2*p.unit), busy: newCrowd(c.Rectangle, 0.3*p.unit)}
	level := []vg.Point{{X: c.Min.X, Y: at(0, zero).Y}, {X: c.Max.X, Y: at(0, zero).Y}}
	s.lines = [][]vg.Point{level}

	pitch := at(1, zero).X - at(0, zero).X
	r := min(0.3*p.unit, 0.62*pitch)
	bar := min(0.34*p.unit, 0.6*pitch)
	edge := shrunk(c.Rectangle, r)
	place := func(i int) vg.Point { return nearest(edge, at(v.rank(i), v.off(v.points[i], v.points[i].Y))) }
	for i, q := range v.points {
		low, high := nearest(c.Rectangle, at(v.rank(i), v.off(q, q.Low))), nearest(c.Rectangle, at(v.rank(i), v.off(q, q.High)))
		c.StrokeLines(draw.LineStyle{Color: p.theme.band, Width: bar}, []vg.Point{low, high})
		for y := low.Y; y < high.Y; y += 0.3 * p.unit {
			s.busy.add(vg.Point{X: low.X, Y: y}, 0.25)
		}
	}
	c.StrokeLines(p.lineStyle(p.theme.line, 0.09), level)
	for i, q := range v.points {
		if _, ok := v.flagged[i]; ok {
			continue
		}
		pt := place(i)
		s.busy.add(pt, 1)
		p.hint(v.hint(q), func() { p.mark(c, circle, pt, r, p.plain) })
	}
	s.busy.sum()
	if v.gap > 0 {
		v.drawGap(p, c, at, &s)
	}
	off := func(i int) bool {
		y := v.off(v.points[i], v.points[i].Y)
		return y < pl.Y.Min || y > pl.Y.Max
	}
	return v.drawFlagged(p, c, place, off, s, max(1.15*r, 0.33*p.unit))
}

// drawGap says how many products were left out in the middle.
func (v *residualView) drawGap(p *page, c draw.Canvas, at func(x, y float64) vg.Point, s *scene) {
	zero := v.off(trend.Point{Expected: 1}, 1)
	left, right := at(float64(v.gap)-0.1, zero), at(float64(v.gap)+2.1, zero)
	c.SetColor(p.background)
	c.Fill(vg.Rectangle{Min: vg.Point{X: left.X, Y: c.Min.Y}, Max: vg.Point{X: right.X, Y: c.Max.Y}}.Path())
	words := fmt.Sprintf("%s nearer the line not shown", plainNumber(float64(v.all-len(v.points))))
	w := p.width(words, labelSize, false)
	base := vg.Point{X: (left.X + right.X) / 2, Y: c.Min.Y + 0.5*p.unit}
	p.put(words, labelSize, false, p.muted, base, 0.5)
	s.lines = append(s.lines, []vg.Point{
		{X: base.X - w/2, Y: base.Y + 0.3*p.unit}, {X: base.X + w/2, Y: base.Y + 0.3*p.unit}})
}

// title names the product furthest off, overpriced ones first.
func (v *residualView) title() string {
	predictor, response := wordsOf(v.t.Predictor).noun, wordsOf(v.t.Response).noun
	i := slices.IndexFunc(v.flags, func(f trend.Flag) bool { return f.Grade != trend.Hint && f.Kind == trend.Overpriced })
	if i < 0 {
		i = 0
	}
	if len(v.flags) == 0 || v.flags[i].Grade == trend.Hint {
		return fmt.Sprintf("No filter lies clearly off the %s its %s predicts", response, predictor)
	}
	f := v.flags[i]
	side := "above"
	if f.Observed < f.Expected {
		side = "below"
	}
	verb := "is priced"
	if v.t.Response != "price" {
		verb = "has " + response
	}
	return fmt.Sprintf("%s %s %.0f\u00a0%% %s what its %s predicts", name(f.Maker, f.Part), verb, 100*math.Abs(f.Ratio-1), side, predictor)
}

func (v *residualView) subtitle() string {
	s := fmt.Sprintf("Each dot is one %s, each bar where 95\u00a0%% of %s with its %s are expected.",
		v.one(), v.many(), wordsOf(v.t.Predictor).noun)
	if v.gap > 0 {
		s += fmt.Sprintf(" The %d at either end are shown.", v.gap)
	}
	return s
}
