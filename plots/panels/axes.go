package panels

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"pleatstat/plots/page"
	"pleatstat/stats/drift"
)

// panelGrid returns the grid for n panels whose ratio of width to height comes
// nearest to the given one; empty places count against a grid.
func panelGrid(n int, area vg.Rectangle, ratio float64) (cols, rows int) {
	best := math.Inf(1)
	size := area.Size()
	for c := 1; c <= n; c++ {
		r := (n + c - 1) / c
		shape := float64(size.X) / float64(c) / (float64(size.Y) / float64(r))
		empty := float64(c*r-n) / float64(n)
		if off := math.Abs(math.Log(shape/ratio)) + empty; off < best {
			best, cols, rows = off, c, r
		}
	}
	return cols, rows
}

// axes returns the axes that all panels share and the number of points outside
// them. Points far beyond all others, most likely slips of the pen, do not widen
// the vertical axis; they are drawn at the edge of the frame.
func (v *Drift) axes(shown []drift.Entry) (x, y page.Axis, outside int) {
	x = page.Axis{Min: math.Inf(1), Max: math.Inf(-1), K: 1}
	var values, sizes []float64
	for _, e := range shown {
		first, last := span(e.Points)
		x.Min, x.Max = math.Min(x.Min, first), math.Max(x.Max, last)
		for _, o := range e.Points {
			values, sizes = append(values, o.Value), append(sizes, math.Abs(o.Deviation))
		}
	}
	x = x.Padded(0.04)
	if v.readings {
		y.Min, y.Max = page.Extent(values, false)
		for _, e := range shown { // fitted lines within half a frame widen it
			for _, level := range v.lineEnds(e) {
				if off := math.Max(y.Min-level, level-y.Max); off < (y.Max-y.Min)/2 {
					y.Min, y.Max = math.Min(y.Min, level), math.Max(y.Max, level)
				}
			}
		}
		for _, o := range values {
			if o < y.Min || o > y.Max {
				outside++
			}
		}
		y.K = v.scale.K
		return x, y.Padded(0.12), outside
	}
	slices.Sort(sizes)
	reach := sizes[len(sizes)-1]
	const common, far = 0.95, 2.5 // beyond 2.5 times the deviation that 95 % stay within is outside
	if q := sizes[int(common*float64(len(sizes)-1))] * far; q > 0 && q < reach {
		within, _ := slices.BinarySearch(sizes, q)
		reach, outside = sizes[max(0, within-1)], len(sizes)-within
	}
	if reach == 0 {
		reach = 1 / v.scale.K
	}
	y = page.Axis{Min: -reach, Max: reach, K: v.scale.K}
	y = y.Padded(0.08)
	y.Ticks = page.EvenTicks(y.Max, y.K)
	return x, y, outside
}

// lineEnds returns the values at which the fitted lines of a panel's parts begin
// and end, in ascending order.
func (v *Drift) lineEnds(e drift.Entry) []float64 {
	first, last := span(e.Points)
	var ends []float64
	for _, part := range byPart(e.Points) {
		for _, piece := range fitted(e, first, last) {
			for _, q := range piece {
				ends = append(ends, part.level+q.Y)
			}
		}
	}
	slices.Sort(ends)
	return ends
}
