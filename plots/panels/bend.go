package panels

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pleatstat/plots/page"
	"pleatstat/stats/drift"
)

// bent reports whether the change was dated as a bend and the range of the yearly
// change since then excludes zero.
func bent(e drift.Entry) bool {
	return dated(e) && e.ChangeGradual && page.Finite(e.ChangePerYear) && e.ChangePerYearLow*e.ChangePerYearHigh > 0
}

// bend shades the 95 % range of the yearly change since the bend.
func (v *Drift) bend(p *page.Page, c draw.Canvas, pl *plot.Plot, e drift.Entry) {
	at := page.Projection(c, pl)
	line := bendLine(e, pl.X.Min, pl.X.Max, e.ChangePerYear)
	from := line[1]
	end := func(pace float64) vg.Point { return at(pl.X.Max, from.Y+pace*(pl.X.Max-from.X)) }
	wedge := []vg.Point{at(from.X, from.Y), end(e.ChangePerYearLow), end(e.ChangePerYearHigh)}
	c.FillPolygon(p.Band, c.ClipPolygonXY(wedge))
}

// yearPoint is a point of a panel: decimal year and deviation, or reading, in base
// units.
type yearPoint struct{ X, Y float64 }

// bendLine returns a line that is level up to the bend and then changes by pace a
// year. Its height makes the residuals of the points average zero.
func bendLine(e drift.Entry, first, last, pace float64) [3]yearPoint {
	change := decimalYear(e.ChangeFrom)
	before := 0.0
	for _, o := range e.Points {
		before += (o.Deviation - pace*math.Max(0, o.Year-change)) / float64(len(e.Points))
	}
	return [3]yearPoint{{first, before}, {change, before}, {last, before + pace*(last-change)}}
}
