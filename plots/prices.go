package plots

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/stats/price"
)

// Prices draws price verdicts ranked from dearest to cheapest for what is
// inside: the price paid against the fair price with its 80 and 95 % ranges,
// on a logarithmic axis. Where the page cannot hold all of them it shows the
// two ends and counts the rest. Judgements on too few data are counted in the
// note.
//
// It returns ErrNothingToDraw where no judgement has both prices.
func Prices(js []price.Judgement, s Source) (*Chart, error) {
	v := &priceView{units: s.withDefaults().Units}
	s.Openings = 0 // those behind what is drawn
	for _, j := range js {
		switch {
		case j.Verdict == price.TooFew:
			v.tooFew++
		case drawablePrice(j.Paid, j.Fair, j.Low95, j.High95):
			v.js = append(v.js, j)
			s.Openings += j.N
		}
	}
	if len(v.js) == 0 {
		return nil, fmt.Errorf("prices: %w", ErrNothingToDraw)
	}
	slices.SortStableFunc(v.js, func(a, b price.Judgement) int {
		return cmp.Or(cmp.Compare(b.Paid/b.Fair, a.Paid/a.Fair), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
	return &Chart{
		Title:    v.title(),
		Subtitle: "What was paid against what such contents cost. Bars: where 80\u00a0% and 95\u00a0% of prices for the same contents are expected.",
		Source:   s,
		counted:  figures(len(v.js), "product", "products"),
		legend:   v.legend(),
		body:     v.draw,
	}, nil
}

// drawablePrice reports whether all prices have a place on a log axis.
func drawablePrice(prices ...float64) bool {
	for _, x := range prices {
		if !(x > 1/farthest && x < farthest) {
			return false
		}
	}
	return true
}

type priceView struct {
	js     []price.Judgement
	units  Units
	tooFew int
}

// priceLook is the mark of a verdict.
func (p *page) priceLook(v price.Verdict) (s shape, colour color.NRGBA, open bool) {
	switch v {
	case price.Overpriced:
		return triangleUp, p.above, false
	case price.Dear:
		return triangleUp, p.above, true
	case price.Cheap:
		return triangleDown, p.below, true
	case price.Bargain:
		return triangleDown, p.below, false
	}
	return circle, p.plain, false
}

func (p *page) priceMark(c draw.Canvas, v price.Verdict, pt vg.Point) {
	s, colour, open := p.priceLook(v)
	if open {
		p.openMark(c, s, pt, 0.36*p.unit, colour)
	} else {
		p.mark(c, s, pt, 0.36*p.unit, colour)
	}
}

func verdictWords(v price.Verdict) string {
	switch v {
	case price.Overpriced:
		return "paid, clearly above"
	case price.Dear:
		return "paid, dear"
	case price.Cheap:
		return "paid, cheap"
	case price.Bargain:
		return "paid, clearly below"
	}
	return "paid, about fair"
}

func (v *priceView) legend() []legendItem {
	var items []legendItem
	for _, verdict := range [...]price.Verdict{price.Overpriced, price.Dear, price.Fair, price.Cheap, price.Bargain} {
		if slices.ContainsFunc(v.js, func(j price.Judgement) bool { return j.Verdict == verdict }) {
			items = append(items, legendItem{text: verdictWords(verdict), width: 0.8,
				draw: func(p *page, at vg.Point) { p.priceMark(p.Canvas, verdict, at) }})
		}
	}
	return append(items, legendItem{text: "fair price and its ranges", width: 2.4, draw: func(p *page, at vg.Point) {
		on := func(x float64) vg.Point { return vg.Point{X: at.X + vg.Length(x)*p.unit, Y: at.Y} }
		p.fairRange(p.Canvas, on, [5]float64{-1.2, -0.7, 0, 0.7, 1.2})
	}})
}

// fairRange draws {low 95, low 80, fair, high 80, high 95}.
func (p *page) fairRange(c draw.Canvas, at func(x float64) vg.Point, q [5]float64) {
	p.rangeBar(c, at, q[0], q[4], 0.5, p.theme.band)
	p.rangeBar(c, at, q[1], q[3], 0.5, mix(p.theme.band, p.theme.off, 0.3))
	tick := at(q[2])
	c.StrokeLines(p.lineStyle(p.theme.line, 0.12), []vg.Point{
		{X: tick.X, Y: tick.Y - 0.36*p.unit}, {X: tick.X, Y: tick.Y + 0.36*p.unit}})
}

func (v *priceView) draw(p *page, area vg.Rectangle) string {
	x := axis{min: math.Inf(1), max: math.Inf(-1), log: true, k: perBase("price", v.units), title: axisTitle("price", v.units)}
	first, last := ends(len(v.js), rowsThatFit(p, area))
	var rows []row
	for i, j := range v.js {
		if i >= first && i < last {
			if i == first {
				rows = append(rows, row{label: fmt.Sprintf("… %s between …", plainNumber(float64(last-first))),
					draw: func(draw.Canvas, func(float64) vg.Point) {}})
			}
			continue
		}
		x.min, x.max = min(x.min, j.Paid, j.Low95), max(x.max, j.Paid, j.High95)
		rows = append(rows, row{
			label:  name(j.Maker, j.Part),
			bold:   j.Verdict == price.Overpriced || j.Verdict == price.Bargain,
			detail: percent(j.Paid / j.Fair),
			hint:   v.hint(j),
			draw: func(c draw.Canvas, at func(float64) vg.Point) {
				p.fairRange(c, at, [5]float64{j.Low95, j.Low80, j.Fair, j.High80, j.High95})
				p.priceMark(c, j.Verdict, at(j.Paid))
			},
		})
	}
	p.drawRows(area, x.padded(0.04), rows, nil)
	if v.tooFew > 0 {
		return fmt.Sprintf("too little known to judge %s", quantity(v.tooFew, "product", "products"))
	}
	return ""
}

// ends returns the part [first, last) of n rows to leave out so that the rest
// and one line in its place fit into room.
func ends(n, room int) (first, last int) {
	if n <= room {
		return n, n
	}
	first = room / 2
	return first, n - (room - 1 - first)
}

func (v *priceView) title() string {
	if len(v.js) == 1 {
		return judgedTitle(v.js[0])
	}
	above, below := 0, 0
	for _, j := range v.js {
		switch j.Verdict {
		case price.Overpriced:
			above++
		case price.Bargain:
			below++
		}
	}
	switch {
	case above > 0 && below > 0:
		return sentence(fmt.Sprintf("%s priced above what %s contents predict, %s below", isAre(above), its(above), count(below)))
	case above > 0:
		return sentence(fmt.Sprintf("%s priced above what %s contents predict", isAre(above), its(above)))
	case below > 0:
		return sentence(fmt.Sprintf("%s priced below what %s contents predict", isAre(below), its(below)))
	}
	return "No filter is priced clearly off what its contents predict"
}

// judgedTitle is the verdict on one product.
func judgedTitle(j price.Judgement) string {
	n, off := name(j.Maker, j.Part), 100*(j.Paid/j.Fair-1)
	switch j.Verdict {
	case price.Overpriced, price.Dear:
		return fmt.Sprintf("%s is priced %.0f\u00a0%% above what its contents predict", n, off)
	case price.Cheap, price.Bargain:
		return fmt.Sprintf("%s is priced %.0f\u00a0%% below what its contents predict", n, -off)
	}
	return fmt.Sprintf("%s is priced about as its contents predict (%s)", n, percent(j.Paid/j.Fair))
}

func (v *priceView) hint(j price.Judgement) string {
	money := func(x float64) string { return clean(v.units.Format("price", x)) }
	return fmt.Sprintf("%s: paid %s, fair %s (%s to %s)", name(j.Maker, j.Part),
		money(j.Paid), money(j.Fair), money(j.Low95), money(j.High95))
}
