package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Contributions draws how one product's expected price comes about: from the
// base price every content multiplies it up or down to the fair price, beside
// which stands what was paid. Contents come in order of the size of what they
// add or take; those that do not fit are put together in one step.
//
// It returns ErrNothingToDraw where the base, fair or paid price or a factor
// is missing.
func Contributions(j price.Judgement, s Source) (*Chart, error) {
	ok := j.Grade != trend.CannotSay && drawablePrice(j.Base, j.Fair, j.Price)
	for _, c := range j.Contributions {
		ok = ok && drawablePrice(c.Factor)
	}
	if !ok {
		return nil, fmt.Errorf("contributions to the price of %s: %w", name(j.Maker, j.Part), ErrNothingToDraw)
	}
	s.Openings = 0 // the corner counts this product's
	v := &contributionView{j: j, units: s.withDefaults().Units, parts: slices.Clone(j.Contributions)}
	slices.SortStableFunc(v.parts, func(a, b price.Contribution) int {
		return cmp.Compare(math.Abs(math.Log(b.Factor)), math.Abs(math.Log(a.Factor)))
	})
	return &Chart{
		Title:    judgedTitle(j),
		Subtitle: "From the price of a typical filter, each content takes the usual price up or down.",
		Source:   s,
		counted:  figures(j.N, "opening of this product", "openings of this product"),
		body:     v.draw,
	}, nil
}

type contributionView struct {
	j     price.Judgement
	units Units
	parts []price.Contribution // largest effect first
}

func (v *contributionView) draw(p *page, area vg.Rectangle) string {
	k := perBase("price", v.units)
	x := axis{min: min(v.j.Base, v.j.Fair, v.j.Price), max: max(v.j.Base, v.j.Fair, v.j.Price), log: true, k: k,
		title: axisTitle("price", v.units)}
	if drawablePrice(v.j.Low, v.j.High) {
		x.min, x.max = min(x.min, v.j.Low), max(x.max, v.j.High)
	}
	const others = 3 // rows for the base, fair and paid price
	parts := v.parts
	if room := max(1, p.rowsThatFit(area)-others); len(parts) > room {
		rest := price.Contribution{Content: "", Factor: 1}
		for _, c := range parts[room-1:] {
			rest.Factor *= c.Factor
		}
		rest.Value = figures(len(parts)-room+1, "more content", "more contents")
		parts = append(slices.Clone(parts[:room-1]), rest)
	}
	running := v.j.Base
	steps := []float64{running}
	rows := []row{v.total(p, "typical filter", v.j.Base)}
	for _, c := range parts {
		from, to := running, running*c.Factor
		running = to
		steps = append(steps, to)
		x.min, x.max = min(x.min, to), max(x.max, to)
		rows = append(rows, row{label: v.label(c), detail: percent(c.Factor), hint: v.label(c) + ": " + percent(c.Factor),
			draw: func(cv draw.Canvas, at func(float64) vg.Point) { step(p, cv, at, from, to) }})
	}
	rows = append(rows, v.fair(p), v.paid(p))
	p.drawRows(area, x.padded(0.06), rows, func(c draw.Canvas, at func(x, y float64) vg.Point) {
		for i, s := range steps { // thin links from each step to the next
			c.StrokeLines(p.lineStyle(p.frame, 0.05), []vg.Point{at(s, -float64(i)), at(s, -float64(i+1))})
		}
	})
	return ""
}

// step draws one factor as a bar with a point in its direction. What a content
// adds says nothing of dear or cheap, whose colours it does not take.
func step(p *page, c draw.Canvas, at func(float64) vg.Point, from, to float64) {
	a, b := at(from), at(to)
	h := 0.34 * p.unit
	tip := min(0.3*p.unit, vg.Length(math.Abs(float64(b.X-a.X))))
	if b.X < a.X {
		tip = -tip
	}
	c.FillPolygon(p.off, []vg.Point{{X: a.X, Y: a.Y - h}, {X: b.X - tip, Y: a.Y - h}, {X: b.X, Y: a.Y},
		{X: b.X - tip, Y: a.Y + h}, {X: a.X, Y: a.Y + h}})
}

func (v *contributionView) total(p *page, label string, value float64) row {
	return row{label: label, detail: clean(v.units.Format("price", value)), draw: func(c draw.Canvas, at func(float64) vg.Point) {
		p.mark(c, circle, at(value), 0.32*p.unit, p.plain)
	}}
}

func (v *contributionView) fair(p *page) row {
	r := v.total(p, "usual price", v.j.Fair)
	r.bold = true
	r.draw = func(c draw.Canvas, at func(float64) vg.Point) {
		fairRange(p, c, at, [5]float64{v.j.Low, v.j.Low80, v.j.Fair, v.j.High80, v.j.High})
	}
	return r
}

func (v *contributionView) paid(p *page) row {
	r := v.total(p, "its price", v.j.Price)
	r.bold = true
	r.draw = func(c draw.Canvas, at func(float64) vg.Point) { priceMark(p, c, markOf(v.j.Verdict), at(v.j.Price)) }
	return r
}

// label is a content with its value in the log's units.
func (v *contributionView) label(c price.Contribution) string {
	if c.Content == "" {
		return c.Value
	}
	value := clean(c.Value)
	if base, err := strconv.ParseFloat(c.Value, 64); err == nil {
		value = clean(v.units.Format(c.Content, base))
	}
	noun := wordsOf(c.Content).noun
	if value == "" {
		return noun
	}
	return shorten(noun+", "+value, maxName+8)
}
