package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/plots/words"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// Prices draws price verdicts in order of the ratio of price to fair price,
// dearest first: each price against the fair price with its 80 % and 95 %
// prediction ranges, on a logarithmic axis. If the page cannot hold all of them
// both ends are shown and the rest counted. Judgements with too little data are
// counted in the note.
//
// It returns ErrNothingToDraw if no judgement has a price, a fair price and its
// 95 % range.
func Prices(js []price.Judgement, s Source) (*Chart, error) {
	v := &priceView{units: s.withDefaults().Units}
	s.Openings = 0 // counted below: those of the products drawn
	for _, j := range js {
		switch {
		case j.Grade == trend.CannotSay:
			v.tooFew++
		case drawablePrice(j.Price, j.Fair, j.Low, j.High):
			v.js = append(v.js, j)
			s.Openings += j.N
		}
	}
	if len(v.js) == 0 {
		return nil, fmt.Errorf("prices: %w", ErrNothingToDraw)
	}
	slices.SortStableFunc(v.js, func(a, b price.Judgement) int {
		return cmp.Or(cmp.Compare(b.Price/b.Fair, a.Price/a.Fair), cmp.Compare(a.Maker, b.Maker), cmp.Compare(a.Part, b.Part))
	})
	return &Chart{
		Title:    v.title(),
		Subtitle: "The last price paid against what such contents usually cost. Bars: where 4 of 5 and 19 of 20 parts with the same contents lie.",
		Source:   s,
		counted:  words.Figures(len(v.js), "product", "products"),
		legend:   v.legend(),
		body:     v.draw,
	}, nil
}

// drawablePrice reports whether all prices lie between 1/farthest and farthest.
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
	units  words.Units
	tooFew int
}

const priceRadius = 0.36 // of the mark of a price, units

// judged returns a price verdict as its mark shows it.
func judged(v price.Verdict) verdict {
	switch {
	case !v.Off():
		return verdict{grade: trend.AsExpected}
	case v.Direction == price.Below:
		return verdict{trend.Bargain, v.Grade}
	}
	return verdict{trend.Overpriced, v.Grade}
}

func priceMark(p *page.Page, c draw.Canvas, v price.Verdict, pt vg.Point) {
	judged(v).mark(p, c, pt, priceRadius*p.Unit)
}

func (v *priceView) legend() []page.LegendItem {
	there := map[verdict]bool{}
	for _, j := range v.js {
		there[judged(j.Verdict)] = true
	}
	return append(verdictKey(there, priceRadius), page.LegendItem{Text: "usual price and its ranges", Width: 2.4, Draw: func(p *page.Page, at vg.Point) {
		on := func(x float64) vg.Point { return vg.Point{X: at.X + vg.Length(x)*p.Unit, Y: at.Y} }
		fairRange(p, p.Canvas, on, [5]float64{-1.2, -0.7, 0, 0.7, 1.2})
	}})
}

// fairRange draws a fair price and its ranges; q is {low 95, low 80, fair, high
// 80, high 95}.
func fairRange(p *page.Page, c draw.Canvas, at func(x float64) vg.Point, q [5]float64) {
	p.RangeBar(c, at, q[0], q[4], 0.5, p.Band)
	p.RangeBar(c, at, q[1], q[3], 0.5, page.Mix(p.Band, p.Off, 0.3))
	tick := at(q[2])
	c.StrokeLines(p.LineStyle(p.Line, 0.12), []vg.Point{
		{X: tick.X, Y: tick.Y - 0.36*p.Unit}, {X: tick.X, Y: tick.Y + 0.36*p.Unit}})
}

func priceAxis(u words.Units) page.Axis {
	scale := words.ScaleOf("price", u)
	return page.Axis{Log: true, K: scale.K, Title: scale.Title(words.Of("price").Axis)}
}

func (v *priceView) draw(p *page.Page, area vg.Rectangle) string {
	x := priceAxis(v.units)
	x.Min, x.Max = math.Inf(1), math.Inf(-1)
	first, last := ends(len(v.js), p.RowsThatFit(area))
	var rows []page.Row
	for _, j := range slices.Concat(v.js[:first], v.js[last:]) {
		x.Min, x.Max = min(x.Min, j.Price, j.Low), max(x.Max, j.Price, j.High)
		rows = append(rows, page.Row{
			Label:  words.Name(j.Maker, j.Part),
			Bold:   j.Grade == trend.Clear || j.Grade == trend.Probable,
			Detail: words.Percent(j.Price / j.Fair),
			Hint:   v.hint(j),
			Draw: func(c draw.Canvas, at func(float64) vg.Point) {
				fairRange(p, c, at, [5]float64{j.Low, j.Low80, j.Fair, j.High80, j.High})
				priceMark(p, c, j.Verdict, at(j.Price))
			},
		})
	}
	if last > first {
		rows = slices.Insert(rows, first, gapRow(last-first, "between"))
	}
	p.DrawRows(area, x.Padded(0.04), rows, nil)
	if v.tooFew > 0 {
		return fmt.Sprintf("too little known to judge %s", words.Quantity(v.tooFew, "product", "products"))
	}
	return ""
}

// ends returns the range [first, last) of n rows to leave out so that the others,
// and one row in place of those left out, fit into room rows.
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
	var above, below []string
	for _, j := range v.js {
		switch {
		case j.Grade != trend.Clear && j.Grade != trend.Probable:
		case j.Direction == price.Above:
			above = append(above, words.Name(j.Maker, j.Part))
		default:
			below = append(below, words.Name(j.Maker, j.Part))
		}
	}
	slices.Reverse(below) // cheapest first
	return words.Sentence(cmp.Or(offUsual(above, below), fmt.Sprintf("none of these %d filters costs clearly more or less than its contents usually do", len(v.js))))
}

// judgedTitle states the verdict on one product.
func judgedTitle(j price.Judgement) string {
	n := words.Name(j.Maker, j.Part)
	if !j.Off() {
		return fmt.Sprintf("%s costs about what its contents usually cost (%s)", n, words.Percent(j.Ratio))
	}
	more := "more"
	if j.Direction == price.Below {
		more = "less"
	}
	sure := map[trend.Grade]string{trend.Clear: "costs clearly", trend.Probable: "probably costs", trend.Hint: "costs, as a hint only,"}[j.Grade]
	return fmt.Sprintf("%s %s %s than its contents usually cost (%s)", n, sure, more, words.Percent(j.Ratio))
}

func (v *priceView) hint(j price.Judgement) string {
	money := func(x float64) string { return words.Clean(v.units.Format("price", x)) }
	return fmt.Sprintf("%s: %s, usual %s (%s to %s)", words.Name(j.Maker, j.Part),
		money(j.Price), money(j.Fair), money(j.Low), money(j.High))
}
