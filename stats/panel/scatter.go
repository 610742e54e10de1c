package panel

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// Scatter is how much values of one block differ from one time to the next,
// beyond what all blocks do together.
type Scatter struct {
	SD    float64 // of one value; NaN without a difference between any two
	DF    float64 // worth so many degrees of freedom
	Pairs int     // pairs of successive values of one block
	Rise  float64 // the change a unit of time taken off: the median one
	// Differences are the successive differences less the rise, clipped, in
	// ascending order.
	Differences []float64
}

const (
	// scatterClip robust scales a difference counts no further: it is then a
	// change of the block or a slip, not scatter. clippedSD is the root of
	// E min(|Z|, 3)² of a normal Z.
	scatterClip = 3.0
	clippedSD   = 0.9974951885
	// Successive differences share values: 2/3 is the efficiency of their mean
	// square (von Neumann 1941, for long series).
	pairEfficiency = 2.0 / 3
	// A common rise is told from fewestRises pairs at least riseApart apart.
	fewestRises = 10
	riseApart   = 0.5 // years where time is in years
)

const (
	// FewestPairs of successive values from which their scatter is told: with ten a
	// standard deviation is known within a third or so.
	FewestPairs = 10
	// coarseSteps is the median difference, in steps of the scale, below which
	// differences say nothing about tails.
	coarseSteps = 3.0
)

// SuccessiveScatter pools the differences between successive values of each
// block, which a drift over time or a single step hardly touch: the mean square
// successive difference of von Neumann, Kent, Bellinson and Hart (1941), Annals
// of Mathematical Statistics 12, 153–162, with the median change a unit of time
// taken off and differences clipped at three robust scales. Blocks are in order
// of time; NaN and infinite values must have been left out.
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
	slices.Sort(d) // not the order of the blocks
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

// successive are the differences between successive values and the times
// between them.
func successive(blocks []num.Series) (d, dt []float64) {
	for _, b := range blocks {
		for k := 1; k < len(b.T); k++ {
			d, dt = append(d, b.Y[k]-b.Y[k-1]), append(dt, b.T[k]-b.T[k-1])
		}
	}
	return d, dt
}

// commonRise is the median change a unit of time; 0 with too few pairs.
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
	// fewestTail differences tell how heavy tails are.
	fewestTail = 200
	// heaviestTail and lightestTail are told apart, in degrees of freedom; from
	// nearNormal on they count as normal: the few real changes among the
	// differences alone look like that.
	heaviestTail, lightestTail, nearNormal = 3.0, 200.0, 15.0
)

// TailSizes are the sizes of the differences over their own median, of which
// TailDF tells; none where too coarse a step of the scale hides them.
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

// TailDF is how heavy the tails of differences are, as the degrees of freedom
// of a Student's t, from their sizes over their own median: the ratio of the
// 90 % point to the median, which a few real changes hardly move. Normal
// differences have 1.645/0.674. With fewer than 200, and for tails that are
// hardly heavier than normal, it is +Inf.
func TailDF(sizes []float64) float64 {
	if len(sizes) < fewestTail {
		return math.Inf(1)
	}
	ratio := num.Quantile(sizes, 0.9) / num.Median(sizes)
	low, high := heaviestTail, lightestTail
	const halvings = 40
	for range halvings {
		mid := math.Sqrt(low * high)
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: mid}
		if t.Quantile(0.95)/t.Quantile(0.75) > ratio {
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
