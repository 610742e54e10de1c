package rank

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// BlockedSenResult is the median of the slopes within blocks, in units of y per
// unit of time.
type BlockedSenResult struct {
	Slope     float64
	Low, High float64 // confidence interval; infinite if the data are too few to bound it
	Pairs     int     // pairs of values in the same block at different times
}

// BlockedSen estimates the slope shared by all blocks as the median of the slopes
// between any two values of the same block at different times. For one block it is
// the Theil–Sen slope.
//
// Source: Hirsch, Slack and Smith (1982). The limits of the interval are the
// ordered slopes at ranks (N-C)/2 and (N+C)/2 + 1, interpolated, with C = z·√Var
// and Var the variance of the blocked Kendall S: the convention of Gilbert (1987),
// Statistical Methods for Environmental Pollution Monitoring, sections 16.5 and
// 17.3. Other texts round the ranks.
//
// The interval is NaN if confidence is not between 0 and 1. Errors: no pair at
// different times (*TooFewError), and those of BlockedKendall.
func BlockedSen(blocks []num.Series, confidence float64) (BlockedSenResult, error) {
	if err := num.CheckBlocks(blocks, 2); err != nil {
		return BlockedSenResult{}, err
	}
	ranged := confidence > 0 && confidence < 1
	variance, n := 0.0, 0
	var room kendallRoom
	for _, b := range blocks {
		if len(b.T) > 1 {
			k := kendallCount{n: len(b.T)}
			if ranged {
				k = room.count(b.T, b.Y)
				variance += k.variance()
			} else {
				k.tiesX = room.ties(b.T)
			}
			n += k.n*(k.n-1)/2 - int(pairsIn(k.tiesX))
		}
	}
	if n == 0 {
		return BlockedSenResult{}, &num.TooFewError{What: "different times in one block", Have: 1, Need: 2}
	}
	slope := orderedSlopes(blocks, n)
	r := BlockedSenResult{Pairs: n, Slope: slope(float64(n+1) / 2), Low: math.NaN(), High: math.NaN()}
	if !ranged {
		return r, nil
	}
	c := distuv.UnitNormal.Quantile((1+confidence)/2) * math.Sqrt(variance)
	r.Low, r.High = slope((float64(n)-c)/2), slope((float64(n)+c)/2+1)
	return r, nil
}

// listedPairs is the largest number of pairs whose slopes are listed (8 MB); above
// it, ordered slopes are found by bisection.
const listedPairs = 1 << 20

// orderedSlopes returns a function that gives the ordered slope at a rank from 1 to
// n, interpolated between ranks and infinite outside them.
func orderedSlopes(blocks []num.Series, n int) func(rank float64) float64 {
	var at func(rank int) float64
	if n <= listedPairs {
		slopes := make([]float64, 0, n)
		for _, b := range blocks {
			for i := range b.T {
				for j := range i {
					if b.T[i] != b.T[j] {
						slopes = append(slopes, slopeOf(b, i, j))
					}
				}
			}
		}
		at = func(rank int) float64 {
			num.SelectRank(slopes, rank-1)
			return slopes[rank-1]
		}
	} else {
		at = bisectSlopes(blocks)
	}
	return func(rank float64) float64 {
		switch {
		case rank < 1:
			return math.Inf(-1)
		case rank > float64(n):
			return math.Inf(1)
		}
		low := int(rank)
		v := at(low)
		// Above listedPairs neighbouring slopes hardly differ.
		if part := rank - float64(low); part > 0 && n <= listedPairs {
			v += part * (at(low+1) - v)
		}
		return v
	}
}

// slopeOf returns the slope between two values of a block, limited to finite
// values.
func slopeOf(b num.Series, i, j int) float64 {
	v := (b.Y[i] - b.Y[j]) / (b.T[i] - b.T[j])
	return math.Max(-math.MaxFloat64, math.Min(math.MaxFloat64, v))
}

// slopePrecision is the relative width at which the bisection ends; it is smaller
// than the typical distance of neighbouring slopes among a million pairs.
const slopePrecision = 1e-12

// bisectSlopes returns a function that finds the slope of a rank by bisection. The
// slope of a pair is below b exactly if its two values of y - b·t fall with time,
// so each step counts inversions, in O(n log n).
func bisectSlopes(blocks []num.Series) func(rank int) float64 {
	sorted := make([]num.Series, len(blocks))
	most := 0
	var low, high float64
	for i, b := range blocks {
		sorted[i] = num.InTimeOrder(b)
		most = max(most, len(b.T))
		l, h := steepest(sorted[i])
		low, high = math.Min(low, l), math.Max(high, h)
	}
	rest, scratch := make([]float64, most), make([]float64, most)
	below := func(slope float64) int { // number of pairs with a smaller slope
		count := 0
		for _, b := range sorted {
			r := rest[:len(b.T)]
			for i := range r {
				r[i] = b.Y[i] - slope*b.T[i]
			}
			num.EachTime(b, func(i, j int) { slices.Sort(r[i:j]) }) // so that equal times count no inversions
			count += inversions(r, scratch[:len(r)])
		}
		return count
	}
	return func(rank int) float64 {
		a, b := low, high
		for {
			middle := a + (b-a)/2
			if middle <= a || middle >= b || b-a <= slopePrecision*math.Max(math.Abs(a), math.Abs(b)) {
				return middle
			}
			if below(middle) >= rank {
				b = middle
			} else {
				a = middle
			}
		}
	}
}

// steepest returns the lowest and the highest slope within a block in time order,
// at most and at least 0. Both occur between neighbouring times.
func steepest(b num.Series) (low, high float64) {
	var before, least, most float64 // previous time, its smallest and its largest value
	first := true
	num.EachTime(b, func(i, j int) {
		l, m := slices.Min(b.Y[i:j]), slices.Max(b.Y[i:j])
		if !first {
			dt := b.T[i] - before
			low, high = math.Min(low, (l-most)/dt), math.Max(high, (m-least)/dt)
		}
		before, least, most, first = b.T[i], l, m, false
	})
	return low, high
}
