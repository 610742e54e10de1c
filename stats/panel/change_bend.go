package panel

import (
	"math"
	"slices"

	"pleatstat/stats/num"
)

// bendDates is the largest number of dates tried for a bend.
const bendDates = 100

// bendBest is the best date of a bend.
type bendBest struct{ slope, from, early, late, squares float64 }

// searchBend finds the date of the bend that explains most: least squares on
// max(0, t - date) with one level per block, to values whose residuals are clipped,
// first about the straight line, then about the best bend.
func searchBend(blocks []num.Series, straight *FixedEffectsFit, scale float64) bendBest {
	nan := math.NaN()
	best := bendBest{squares: math.Inf(1), slope: nan, from: nan, early: nan, late: nan}
	dates := candidateDates(blocks)
	if len(dates) < 2 {
		return best
	}
	values := make([]num.Series, len(blocks))
	rest := straight.Residuals
	squares := make([]float64, len(dates))
	for range 2 {
		for i, b := range blocks {
			values[i] = num.Series{T: b.T, Y: clipped(b.Y, func(k int) float64 { return b.Y[k] - rest[i][k] }, clipAt*scale)}
		}
		best.squares = math.Inf(1)
		yy, largest := centre(values)
		room := make([]float64, largest)
		for d, date := range dates {
			slope, sum := bentLine(values, date, yy, room)
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

// candidateDates returns the times at which a bend may lie, thinned evenly to
// bendDates: all but the last two, after which no slope could be estimated.
func candidateDates(blocks []num.Series) []float64 {
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

// bentLine returns the least-squares slope from date on and the residual sum of
// squares. The values are deviations from the means of their blocks, with sum of
// squares yy; room is workspace as long as the largest block.
func bentLine(blocks []num.Series, date, yy float64, room []float64) (slope, squares float64) {
	var xx, xy float64
	for _, b := range blocks {
		rise := room[:len(b.T)]
		mean := 0.0
		for k, t := range b.T {
			rise[k] = max(0, t-date)
			mean += rise[k]
		}
		mean /= float64(len(b.T))
		for k, y := range b.Y {
			x := rise[k] - mean
			xx += x * x
			xy += x * y
		}
	}
	if xx == 0 {
		return 0, yy
	}
	return xy / xx, max(0, yy-xy*xy/xx)
}

// centre subtracts its mean from every block and returns the remaining sum of
// squares and the size of the largest block.
func centre(blocks []num.Series) (squares float64, largest int) {
	for _, b := range blocks {
		mean := num.PlainMean(b.Y)
		for k := range b.Y {
			b.Y[k] -= mean
			squares += b.Y[k] * b.Y[k]
		}
		largest = max(largest, len(b.Y))
	}
	return squares, largest
}

// bendResiduals returns the residuals of a bend, with medians as levels so that an
// entry error does not move them.
func bendResiduals(blocks []num.Series, best bendBest) [][]float64 {
	return residualsAboutMedians(blocks, func(t float64) float64 { return best.slope * math.Max(0, t-best.from) })
}
