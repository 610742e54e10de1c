package panel

import (
	"math"

	"pleatstat/stats/num"
)

// ChangeOptions are the choices of FixedEffectsChange; the zero value means the
// defaults.
type ChangeOptions struct {
	Floor float64 // the residual scale is never taken below this
	// Prior and PriorDF are what other values of the kind tell of the residual
	// variance, as in Moderated; PriorDF 0 = nothing.
	Prior, PriorDF float64
}

// moderated is a variance after what is known beforehand.
func (o ChangeOptions) moderated(own, df float64) float64 {
	if math.IsInf(o.PriorDF, 1) {
		return o.Prior
	}
	return (o.PriorDF*o.Prior + df*own) / (o.PriorDF + df)
}

// gain is how much likelier the smaller sum of squares is, twice in logarithms.
func (o ChangeOptions) gain(n, larger, smaller float64) float64 {
	if math.IsInf(o.PriorDF, 1) {
		return (larger - smaller) / o.Prior
	}
	known := o.PriorDF * o.Prior
	return (n + o.PriorDF) * math.Log((known+larger)/math.Max(known+smaller, math.SmallestNonzeroFloat64))
}

// ChangeShape says how values of all blocks moved together.
type ChangeShape string

const (
	Straight ChangeShape = "straight" // along one line
	Stepped  ChangeShape = "step"     // from one level to another
	Bent     ChangeShape = "bend"     // level first, along a line from a date on
)

// ChangeFit says when and how the values of all blocks changed.
type ChangeFit struct {
	Shape ChangeShape
	// Step is the change of level at StepFrom, the first time at the new
	// level; the change lies after StepEarly and not after StepLate (95 %).
	// They are set whatever Shape is.
	Step                          float64
	StepFrom, StepEarly, StepLate float64
	// Slope is the change a unit of time from BendFrom on, whose 95 % range is
	// BendEarly to BendLate.
	Slope                         float64
	BendFrom, BendEarly, BendLate float64
}

const (
	// stepInformation is the least Σ over blocks of before·after/(before+after)
	// that a change of level may rest on: three values on either side of one
	// block, or two against six.
	stepInformation = 1.5
	// stepDrop and bendDrop are how much the residual sum of squares, in units
	// of the residual variance, may exceed its least inside a 95 % range of the
	// date: for a jump -2·log(1-√0.95) (Hansen 2000, Econometrica 68, 575–603),
	// for a bend the chi-squared with one degree of freedom.
	stepDrop = 7.352
	bendDrop = 3.841
	// clipAt is where residuals are cut, in scales, before sums of squares are
	// compared, so that one slip of the pen does not place the change.
	clipAt = 2.5
	// shapeCost is what a free date must gain: the residual sum of squares must
	// fall by this many logarithms of n residual variances beyond a straight
	// line (a date counts for more than a coefficient, as it is searched for).
	shapeCost = 1.5
)

// FixedEffectsChange finds when the values of all blocks changed, each block with a
// level of its own: a step, a bend, or no better than a straight line. Blocks
// without two different times take no part.
//
// The step's date maximises the between-side sum of squares of deviations from
// the block's mean (least squares with one level a block), and the range of the
// date is Hansen's. Residuals are clipped at 2.5 scales and the plainest
// dates fitted again, as in Huber's pseudo-values. Bend: the same with
// max(0, t - date). The scale is moderated by what is known of it.
//
// Errors: those of FixedEffects, and *TooFewError where no date leaves enough
// values on both sides.
func FixedEffectsChange(blocks []num.Series, o ChangeOptions) (*ChangeFit, error) {
	base, rows, err := newWithin(blocks)
	if err != nil {
		return nil, err
	}
	used := make([]num.Series, len(rows.blocks))
	for i, at := range rows.blocks {
		used[i] = num.InTimeOrder(blocks[at])
	}
	s := newStepSearch(used)
	// First cut about the medians, where a step still widens the scale.
	first, err := RobustFixedEffects(used, FixedEffectsOptions{Floor: o.Floor})
	if err != nil {
		return nil, err
	}
	levels := make([]num.Series, len(used))
	limit := clipAt * math.Max(spreadAboutMedians(used), o.Floor)
	for i, b := range used {
		m := num.Median(b.Y)
		levels[i] = num.Series{T: b.T, Y: clipped(b.Y, func(int) float64 { return m }, limit)}
	}
	best, ok := s.search(levels)
	if !ok {
		return nil, &num.TooFewError{What: "values on either side of a change", Have: base.N, Need: base.N + 2}
	}
	fit := &ChangeFit{}
	scale := first.Scale
	df := float64(base.DF)
	rest := stepResiduals(used, best)
	for range 3 {
		own := withinScale(aboutMeans(rest), 0)
		scale = math.Max(math.Sqrt(o.moderated(own*own, df)), o.Floor)
		if scale == 0 {
			break
		}
		before := best.index
		refined, from := s.refine(used, levels, scale)
		if from == nil {
			break // squares beyond double precision
		}
		best, rest = refined, from
		for i, b := range used {
			levels[i].Y = clipped(b.Y, func(k int) float64 { return b.Y[k] - rest[i][k] }, clipAt*scale)
		}
		if best.index == before {
			break
		}
	}
	fit.Step, fit.StepFrom = best.step, best.from
	fit.StepEarly, fit.StepLate = s.dateRange(levels, best, scale)

	cut := math.Max(math.Sqrt(o.moderated(first.Scale*first.Scale, df)), o.Floor)
	straight := clippedSquares(first.Residuals, cut)
	stepped := clippedSquares(stepResiduals(used, best), cut)
	bend := searchBend(used, first, cut)
	fit.Slope, fit.BendFrom, fit.BendEarly, fit.BendLate = bend.slope, bend.from, bend.early, bend.late
	least := math.Min(stepped, bend.squares)
	fit.Shape = Straight
	n := float64(base.N)
	if least < straight && o.gain(n, straight, least) > shapeCost*math.Log(n) {
		fit.Shape = Stepped
		if bend.squares < stepped {
			fit.Shape = Bent
		}
	}
	return fit, nil
}

// clipped returns y moved no further than limit from its fitted values.
func clipped(y []float64, fitted func(int) float64, limit float64) []float64 {
	out := make([]float64, len(y))
	for k, v := range y {
		m := fitted(k)
		out[k] = m + max(-limit, min(limit, v-m))
	}
	return out
}

// clippedSquares is the sum of squares of residuals cut at clipAt scales.
func clippedSquares(residuals [][]float64, scale float64) float64 {
	sum := 0.0
	for _, block := range residuals {
		for _, r := range block {
			r = min(math.Abs(r), clipAt*scale)
			sum += r * r
		}
	}
	return sum
}

// spreadAboutMedians is a robust scale of the values about their block's median.
func spreadAboutMedians(blocks []num.Series) float64 {
	n := 0
	for _, b := range blocks {
		n += len(b.Y)
	}
	rest := residualsAboutMedians(blocks, func(float64) float64 { return 0 })
	return num.MadScale * largestMedian(rest, n-len(blocks))
}

// largestMedian is the median of the count largest absolute residuals.
func largestMedian(residuals [][]float64, count int) float64 {
	var all []float64
	for _, r := range residuals {
		for _, v := range r {
			all = append(all, math.Abs(v))
		}
	}
	num.SelectRank(all, len(all)-count)
	return num.MedianIn(all[len(all)-count:])
}
