package panel

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// Scatter is the scatter of successive values within blocks, after removing the
// change that all blocks share.
type Scatter struct {
	SD    float64 // of one value; NaN without pairs or if all differences are 0
	DF    float64 // degrees of freedom of SD
	Pairs int     // pairs of successive values within blocks
	Rise  float64 // median change per unit of time, which was removed
	// Differences are the successive differences less the rise, clipped, in
	// ascending order.
	Differences []float64
}

const (
	// scatterClip is the size, in robust scales, at which differences are clipped:
	// larger ones are changes or entry errors, not scatter. clippedSD is
	// √E[min(|Z|, 3)²] of a standard normal Z.
	scatterClip = 3.0
	clippedSD   = 0.9974951885
	// pairEfficiency is the efficiency of the mean square of successive differences,
	// which share values, in long series (von Neumann 1941).
	pairEfficiency = 2.0 / 3
	// A common rise is estimated from at least fewestRises pairs that are at least
	// riseApart apart.
	fewestRises = 10
	riseApart   = 0.5 // in units of time: years
)

const (
	// FewestPairs is the smallest number of pairs of successive values from which
	// scatter is estimated: with ten, a standard deviation is known to within about
	// a third.
	FewestPairs = 10
	// coarseSteps is the median difference, in reading steps, below which
	// differences hold no information on tails.
	coarseSteps = 3.0
)

// SuccessiveScatter pools the differences between successive values of each block,
// which a drift or a single step hardly affects: the mean square successive
// difference of von Neumann, Kent, Bellinson and Hart (1941), Annals of
// Mathematical Statistics 12, 153–162, after removing the median change per unit of
// time and clipping differences at three robust scales. Blocks must be in order of
// time, without NaN or infinite values.
func SuccessiveScatter(blocks []num.Series) Scatter {
	d, dt := successive(blocks)
	s := Scatter{SD: math.NaN(), Pairs: len(d), Rise: commonRise(d, dt)}
	if len(d) == 0 {
		return s
	}
	size := make([]float64, len(d))
	for k := range d {
		d[k] -= s.Rise * dt[k]
		size[k] = math.Abs(d[k])
	}
	limit := scatterClip * num.MadScale * num.Median(size)
	if limit == 0 {
		limit = math.Inf(1)
	}
	squares := 0.0
	slices.Sort(d) // so that the sum does not depend on the order of blocks
	for k, v := range d {
		d[k] = math.Max(-limit, math.Min(limit, v))
		squares += d[k] * d[k]
	}
	s.Differences = d
	s.DF = pairEfficiency * float64(len(d))
	if squares > 0 {
		s.SD = math.Sqrt(squares/float64(len(d))/2) / clippedSD
	}
	return s
}

// successive returns the differences between successive values and the times
// between them.
func successive(blocks []num.Series) (d, dt []float64) {
	for _, b := range blocks {
		for k := 1; k < len(b.T); k++ {
			d, dt = append(d, b.Y[k]-b.Y[k-1]), append(dt, b.T[k]-b.T[k-1])
		}
	}
	return d, dt
}

// commonRise returns the median change per unit of time; 0 with too few pairs.
func commonRise(d, dt []float64) float64 {
	var rates []float64
	for k := range d {
		if dt[k] >= riseApart {
			rates = append(rates, d[k]/dt[k])
		}
	}
	if len(rates) < fewestRises {
		return 0
	}
	return num.Median(rates)
}

const (
	// Few sizes hold little information on tails: the prior is supposedTail degrees
	// of freedom, moderately long tails, with the weight of supposedSizes sizes.
	supposedTail, supposedSizes = 8.0, 400.0
	// heaviestTail and lightestTail limit the estimate, in degrees of freedom. From
	// nearNormal on, tails count as normal: a few real changes among the
	// differences look the same.
	heaviestTail, lightestTail, nearNormal = 3.0, 200.0, 12.0
)

// TailSizes returns the sizes of the differences over their median, for TailDF; nil
// if the step of the readings is too coarse for them.
func (s Scatter) TailSizes(step float64) []float64 {
	sizes := make([]float64, len(s.Differences))
	for k, d := range s.Differences {
		sizes[k] = math.Abs(d)
	}
	middle := num.Median(sizes)
	if !(middle > 0) || middle < coarseSteps*step {
		return nil
	}
	for k := range sizes {
		sizes[k] /= middle
	}
	return sizes
}

// TailDF returns how heavy the tails of differences are, as the degrees of freedom
// of a Student's t, from their sizes over their median. It uses the ratio of the
// 90 % quantile to the median, which a few real changes hardly affect
// (1.645/0.674 for normal differences), shrunk towards that of moderately long tails
// if the sizes are few. Tails hardly heavier than normal give +Inf.
func TailDF(sizes []float64) float64 {
	if len(sizes) == 0 {
		return supposedTail
	}
	n := float64(len(sizes))
	seen := math.Log(num.Quantile(sizes, 0.9) / num.Median(sizes))
	ratio := math.Exp((supposedSizes*math.Log(tailRatio(supposedTail)) + n*seen) / (supposedSizes + n))
	low, high := heaviestTail, lightestTail
	const halvings = 40
	for range halvings {
		mid := math.Sqrt(low * high)
		if tailRatio(mid) > ratio {
			low = mid
		} else {
			high = mid
		}
	}
	if low >= nearNormal {
		return math.Inf(1)
	}
	return low
}

// tailRatio returns the 90 % quantile of |t| over its median, for Student's t.
func tailRatio(df float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	return t.Quantile(0.95) / t.Quantile(0.75)
}

// MeansTailDF returns the tail degrees of freedom of the difference between the
// means of x and of y values, given those of the difference between two single
// values: the excess kurtosis, 6/(df − 4) for Student's t, falls with the number of
// values averaged.
func MeansTailDF(tail float64, x, y int) float64 {
	const finite = 4 // the kurtosis is finite above this
	if tail <= finite {
		return tail
	}
	a, b := 1/float64(x), 1/float64(y)
	return finite + (tail-finite)*(a+b)*(a+b)/(a*a*a+b*b*b)/2
}
