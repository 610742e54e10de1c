package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Contributions draws how the fair price of one product is made up: the base
// price is multiplied by one factor for each of its contents, largest effect
// first, and the last row shows the price itself. Contents that do not fit on
// the page are combined into one factor.
//
// It returns ErrNothingToDraw if the base price, the fair price, the price or a
// factor is missing or not positive.
func Contributions(j price.Judgement, s Source) (*Chart, error) {
	ok := j.Grade != trend.CannotSay && drawablePrice(j.Base, j.Fair, j.Price)
	for _, c := range j.Contributions {
		ok = ok && drawablePrice(c.Factor)
	}
	if !ok {
		return nil, fmt.Errorf("contributions to the price of %s: %w", words.Name(j.Maker, j.Part), ErrNothingToDraw)
	}
	s.Openings = 0 // the openings of this product are counted instead
	v := &contributionView{j: j, units: s.withDefaults().Units, parts: slices.Clone(j.Contributions)}
	slices.SortStableFunc(v.parts, func(a, b price.Contribution) int {
		return cmp.Compare(math.Abs(math.Log(b.Factor)), math.Abs(math.Log(a.Factor)))
	})
	return &Chart{
		Title:    judgedTitle(j),
		Subtitle: "From the price of a typical filter, each content takes the usual price up or down.",
		Source:   s,
		counted:  words.Figures(j.N, "opening of this product", "openings of this product"),
		body:     v.draw,
	}, nil
}

type contributionView struct {
	j     price.Judgement
	units words.Units
	parts []price.Contribution // largest effect first
}

func (v *contributionView) draw(p *page.Page, area vg.Rectangle) string {
	x := priceAxis(v.units)
	x.Min, x.Max = min(v.j.Base, v.j.Fair, v.j.Price), max(v.j.Base, v.j.Fair, v.j.Price)
	if drawablePrice(v.j.Low, v.j.High) {
		x.Min, x.Max = min(x.Min, v.j.Low), max(x.Max, v.j.High)
	}
	const others = 3 // rows for the base price, the fair price and the price
	parts := v.parts
	if room := max(1, p.RowsThatFit(area)-others); len(parts) > room {
		rest := price.Contribution{Content: "", Factor: 1}
		for _, c := range parts[room-1:] {
			rest.Factor *= c.Factor
		}
		rest.Value = words.Figures(len(parts)-room+1, "more content", "more contents")
		parts = append(slices.Clone(parts[:room-1]), rest)
	}
	running := v.j.Base
	steps := []float64{running}
	rows := []page.Row{v.price("typical filter", v.j.Base, false, func(c draw.Canvas, at func(float64) vg.Point) {
		p.Mark(c, page.Circle, at(v.j.Base), 0.32*p.Unit, p.Plain)
	})}
	for _, c := range parts {
		from, to := running, running*c.Factor
		running = to
		steps = append(steps, to)
		x.Min, x.Max = min(x.Min, to), max(x.Max, to)
		rows = append(rows, page.Row{Label: v.label(c), Detail: words.Percent(c.Factor), Hint: v.label(c) + ": " + words.Percent(c.Factor),
			Draw: func(cv draw.Canvas, at func(float64) vg.Point) { step(p, cv, at, from, to) }})
	}
	rows = append(rows,
		v.price("usual price", v.j.Fair, true, func(c draw.Canvas, at func(float64) vg.Point) {
			fairRange(p, c, at, [5]float64{v.j.Low, v.j.Low80, v.j.Fair, v.j.High80, v.j.High})
		}),
		v.price("its price", v.j.Price, true, func(c draw.Canvas, at func(float64) vg.Point) { priceMark(p, c, v.j.Verdict, at(v.j.Price)) }))
	p.DrawRows(area, x.Padded(0.06), rows, func(c draw.Canvas, at func(x, y float64) vg.Point) {
		for i, s := range steps { // thin links from each step to the next
			c.StrokeLines(p.LineStyle(p.Frame, 0.05), []vg.Point{at(s, -float64(i)), at(s, -float64(i+1))})
		}
	})
	return ""
}

// step draws one factor as a bar that points in its direction. It has a neutral
// colour, since the colours Above and Below are those of verdicts.
func step(p *page.Page, c draw.Canvas, at func(float64) vg.Point, from, to float64) {
	a, b := at(from), at(to)
	h := 0.34 * p.Unit
	tip := min(0.3*p.Unit, vg.Length(math.Abs(float64(b.X-a.X))))
	if b.X < a.X {
		tip = -tip
	}
	c.FillPolygon(p.Off, []vg.Point{{X: a.X, Y: a.Y - h}, {X: b.X - tip, Y: a.Y - h}, {X: b.X, Y: a.Y},
		{X: b.X - tip, Y: a.Y + h}, {X: a.X, Y: a.Y + h}})
}

// price returns the row of the base price, the fair price or the price.
func (v *contributionView) price(label string, value float64, bold bool, draw func(draw.Canvas, func(float64) vg.Point)) page.Row {
	return page.Row{Label: label, Bold: bold, Detail: words.Clean(v.units.Format("price", value)), Draw: draw}
}

// label names a content and its value in the log's units.
func (v *contributionView) label(c price.Contribution) string {
	if c.Content == "" {
		return c.Value
	}
	value := words.Clean(c.Value)
	if base, err := strconv.ParseFloat(c.Value, 64); err == nil {
		value = words.Clean(v.units.Format(c.Content, base))
	}
	noun := words.Of(c.Content).Noun
	if value == "" {
		return noun
	}
	return words.Shorten(noun+", "+value, words.MaxName+8)
}
