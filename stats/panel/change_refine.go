package panel

import (
	"math"
	"slices"

	"pleatstat/stats/num"
)

// Values clipped about one step can hide a better date if there is an entry error.
// So the best refinedDates dates are fitted again, each to values clipped about its
// own step, except those that explain over refinedDrop residual variances less than
// the best.
const (
	refinedDates = 30
	refinedDrop  = 100
)

// refine finds the date of the step with the smallest sum of squares of clipped
// residuals, and the residuals about it; nil if the squares overflow.
func (s *stepSearch) refine(blocks, levels []num.Series, scale float64) (best stepBest, rest [][]float64) {
	var dates []stepBest
	s.each(deviations(levels), func(i int, cross, information float64) {
		dates = append(dates, stepBest{from: s.time[i], step: cross / information, gain: cross * cross / information, information: information, index: i})
	})
	slices.SortStableFunc(dates, func(a, b stepBest) int { return num.Compare(b.gain, a.gain) })
	least := math.Inf(1)
	for _, d := range dates[:min(len(dates), refinedDates)] {
		if dates[0].gain-d.gain > refinedDrop*scale*scale {
			break
		}
		r := stepResiduals(blocks, d)
		for range 3 {
			d.step = cutStep(blocks, r, d.from, clipAt*scale)
		}
		if squares := clippedSquares(r, scale); squares < least {
			least, best, rest = squares, d, r
		}
	}
	return best, rest
}

// cutStep returns the least-squares step at a date for values clipped to within
// limit of their present fit, and sets residuals to those about the new fit.
func cutStep(blocks []num.Series, residuals [][]float64, from, limit float64) float64 {
	var cross, information float64
	means := make([][2]float64, len(blocks)) // before and after
	for i, b := range blocks {
		r := residuals[i]
		var n, sum [2]float64
		for k, y := range b.Y {
			side := 0
			if b.T[k] >= from {
				side = 1
			}
			n[side]++
			sum[side] += y - r[k] + math.Max(-limit, math.Min(limit, r[k]))
		}
		if n[0] > 0 && n[1] > 0 {
			w := n[0] * n[1] / (n[0] + n[1])
			information += w
			cross += w * (sum[1]/n[1] - sum[0]/n[0])
		}
		means[i] = [2]float64{(sum[0] + sum[1]) / (n[0] + n[1]), n[1] / (n[0] + n[1])}
	}
	step := cross / information
	for i, b := range blocks {
		before := means[i][0] - step*means[i][1]
		for k, y := range b.Y {
			residuals[i][k] = y - before
			if b.T[k] >= from {
				residuals[i][k] -= step
			}
		}
	}
	return step
}

// aboutMeans returns the residuals of all blocks in one slice, each scaled by
// 1/√(1 - 1/n) to the variance of its error, n being the size of its block.
func aboutMeans(residuals [][]float64) []float64 {
	var out []float64
	for _, r := range residuals {
		stretch := 1 / math.Sqrt(1-1/float64(len(r)))
		for _, v := range r {
			out = append(out, v*stretch)
		}
	}
	return out
}
