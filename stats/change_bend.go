package stats

import (
	"math"
	"slices"
)

// bendDates is the largest number of dates tried for a bend.
const bendDates = 100

// bendBest is the best date of a bend.
type bendBest struct{ slope, from, early, late, squares float64 }

// searchBend looks for the date from which a line explains most: least squares
// of max(0, t - date) with one level a block, on values whose residuals are
// clipped, first those of the straight line, then those of the best bend.
func searchBend(blocks []Series, straight *LeveledFit, scale float64) bendBest {
	nan := math.NaN()
	best := bendBest{squares: math.Inf(1), slope: nan, from: nan, early: nan, late: nan}
	dates := candidateDates(blocks)
	if len(dates) < 2 {
		return best
	}
	values := make([]Series, len(blocks))
	rest := straight.Residuals
	squares := make([]float64, len(dates))
	for range 2 {
		for i, b := range blocks {
			values[i] = Series{T: b.T, Y: clipped(b.Y, func(k int) float64 { return b.Y[k] - rest[i][k] }, clipAt*scale)}
		}
		best.squares = math.Inf(1)
		for d, date := range dates {
			slope, sum := bentLine(values, date)
			if squares[d] = sum; sum < best.squares {
				best.squares, best.slope, best.from = sum, slope, date
			}
		}
		rest = bendResiduals(blocks, best)
	}
	variance := best.squares / float64(straight.DF)
	for d, date := range dates {
		if squares[d]-best.squares <= bendDrop*variance {
			if math.IsNaN(best.early) {
				best.early = date
			}
			best.late = date
		}
	}
	best.squares = clippedSquares(rest, scale)
	return best
}

// candidateDates are the times at which a bend may lie, evenly thinned: all
// but the last two, after which no line can be told.
func candidateDates(blocks []Series) []float64 {
	var dates []float64
	for _, b := range blocks {
		dates = append(dates, b.T...)
	}
	slices.Sort(dates)
	dates = slices.Compact(dates)
	if len(dates) < 4 {
		return nil
	}
	dates = dates[:len(dates)-2]
	if len(dates) <= bendDates {
		return dates
	}
	thinned := make([]float64, bendDates)
	for i := range thinned {
		thinned[i] = dates[i*(len(dates)-1)/(bendDates-1)]
	}
	return thinned
}

// bentLine is the least squares slope from date on and its residual sum of
// squares.
func bentLine(blocks []Series, date float64) (slope, squares float64) {
	var xx, xy, yy float64
	for _, b := range blocks {
		meanX := 0.0
		for _, t := range b.T {
			meanX += math.Max(0, t-date)
		}
		meanX /= float64(len(b.T))
		meanY := plainMean(b.Y)
		for k, t := range b.T {
			x, y := math.Max(0, t-date)-meanX, b.Y[k]-meanY
			xx += x * x
			xy += x * y
			yy += y * y
		}
	}
	if xx == 0 {
		return 0, yy
	}
	return xy / xx, math.Max(0, yy-xy*xy/xx)
}

// bendResiduals are the residuals of a bend, the levels taken as medians so
// that a slip does not move them.
func bendResiduals(blocks []Series, best bendBest) [][]float64 {
	return residualsAboutMedians(blocks, func(t float64) float64 { return best.slope * math.Max(0, t-best.from) })
}
