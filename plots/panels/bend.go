package panels

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/stats/drift"
)

// bent reports whether the change was located as a bend whose pace since then
// is known well enough to leave out no change.
func bent(e drift.Entry) bool {
	return dated(e) && e.ChangeGradual && page.Finite(e.ChangePerYear) && e.ChangePerYearLow*e.ChangePerYearHigh > 0
}

// bend shades between the ends of the range of the pace since the bend.
func (v *Drift) bend(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	at := page.Projection(c, pl)
	line := bendLine(e, pl.X.Min, pl.X.Max, e.ChangePerYear)
	from := line[1]
	end := func(pace float64) vg.Point { return at(pl.X.Max, from.Y+pace*(pl.X.Max-from.X)) }
	wedge := []vg.Point{at(from.X, from.Y), end(e.ChangePerYearLow), end(e.ChangePerYearHigh)}
	c.FillPolygon(p.Band, c.ClipPolygonXY(wedge))
}

// yearPoint is a place in a panel, in its own scales.
type yearPoint struct{ X, Y float64 }

// bendLine is level up to the bend and then moves at the given pace; it runs
// through the mean of the points.
func bendLine(e drift.Entry, first, last, pace float64) [3]yearPoint {
	change := decimalYear(e.ChangeFrom)
	before := 0.0
	for _, o := range e.Points {
		before += (o.Deviation - pace*math.Max(0, o.Year-change)) / float64(len(e.Points))
	}
	return [3]yearPoint{{first, before}, {change, before}, {last, before + pace*(last-change)}}
}
