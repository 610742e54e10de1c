package plots

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"pleatstat/stats/drift"
)

// panelGrid chooses the grid whose panels come nearest to the wanted ratio of
// width to height.
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

// axes is the scale all panels share. A reading far beyond all others (a
// slip of the pen, most likely) does not set it: such points are drawn at the
// edge and counted.
func (v *driftView) axes(shown []drift.Entry) (x, y axis, outside int) {
	x = axis{min: math.Inf(1), max: math.Inf(-1), k: 1}
	if v.readings {
		var values []float64
		for _, e := range shown {
			for _, o := range e.Points {
				x.min, x.max = math.Min(x.min, o.Year), math.Max(x.max, o.Year)
				values = append(values, o.Value)
			}
		}
		y.min, y.max = extent(values, false)
		for _, e := range shown { // the lines stay in the frame too
			for _, level := range v.lineEnds(e) {
				if off := math.Max(y.min-level, level-y.max); off < (y.max-y.min)/2 {
					y.min, y.max = math.Min(y.min, level), math.Max(y.max, level)
				}
			}
		}
		for _, o := range values {
			if o < y.min || o > y.max {
				outside++
			}
		}
		y.k = v.scale()
		return x.padded(0.04), y.padded(0.12), outside
	}
	var sizes []float64
	for _, e := range shown {
		for _, o := range e.Points {
			x.min, x.max = math.Min(x.min, o.Year), math.Max(x.max, o.Year)
			sizes = append(sizes, math.Abs(o.Deviation))
		}
	}
	slices.Sort(sizes)
	reach := sizes[len(sizes)-1]
	const common, far = 0.95, 2.5 // so many times the deviation that 95 % stay within is far
	if q := sizes[int(common*float64(len(sizes)-1))] * far; q > 0 && q < reach {
		within, _ := slices.BinarySearch(sizes, q)
		reach, outside = sizes[max(0, within-1)], len(sizes)-within
	}
	if reach == 0 {
		reach = 1 / v.scale()
	}
	y = axis{min: -reach, max: reach, k: v.scale()}
	y = y.padded(0.08)
	y.ticks = evenTicks(y.max, y.k)
	return x.padded(0.04), y, outside
}

// lineEnds are the values at which the lines of a panel's parts begin and end.
func (v *driftView) lineEnds(e drift.Entry) []float64 {
	by := map[string][]drift.Observation{}
	first, last := math.Inf(1), math.Inf(-1)
	for _, o := range e.Points {
		by[o.Part] = append(by[o.Part], o)
		first, last = math.Min(first, o.Year), math.Max(last, o.Year)
	}
	var ends []float64
	for _, points := range by {
		level := levelOf(points)
		for _, piece := range fitted(e, first, last) {
			for _, q := range piece {
				ends = append(ends, level+q.Y)
			}
		}
	}
	slices.Sort(ends)
	return ends
}
