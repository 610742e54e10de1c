package panel

import (
	"math"

	"pleatstat/stats/num"
)

// ChangeOptions are the options of FixedEffectsChange; the zero value means the
// defaults.
type ChangeOptions struct {
	Floor float64 // lower limit of the residual scale, in units of y
	// Prior and PriorDF are the residual variance of other values of the same
	// kind and its degrees of freedom, as in Moderated; PriorDF 0 = no prior.
	Prior, PriorDF float64
}

// moderated returns a variance combined with the prior one.
func (o ChangeOptions) moderated(own, df float64) float64 {
	if math.IsInf(o.PriorDF, 1) {
		return o.Prior
	}
	return (o.PriorDF*o.Prior + df*own) / (o.PriorDF + df)
}

// gain returns twice the log likelihood ratio of a model with the smaller sum of
// squares of n residuals against one with the larger.
func (o ChangeOptions) gain(n, larger, smaller float64) float64 {
	if math.IsInf(o.PriorDF, 1) {
		return (larger - smaller) / o.Prior
	}
	known := o.PriorDF * o.Prior
	return (n + o.PriorDF) * math.Log((known+larger)/math.Max(known+smaller, math.SmallestNonzeroFloat64))
}

// ChangeShape is the shape of the movement that all blocks share.
type ChangeShape string

const (
	Straight ChangeShape = "straight" // one line throughout
	Stepped  ChangeShape = "step"     // from one level to another
	Bent     ChangeShape = "bend"     // level at first, along a line from a date on
)

// ChangeFit is the estimated change that all blocks share.
type ChangeFit struct {
	Shape ChangeShape
	// Step is the change of level at StepFrom, the first time at the new level.
	// With 95 % confidence the change lies after StepEarly and not after StepLate.
	// These and the fields of the bend are set whatever Shape is.
	Step                          float64
	StepFrom, StepEarly, StepLate float64
	// Slope is the change per unit of time from BendFrom on, whose 95 % range is
	// BendEarly to BendLate. They are NaN if there are too few dates.
	Slope                         float64
	BendFrom, BendEarly, BendLate float64
}

const (
	// stepInformation is the smallest Σ over blocks of before·after/(before+after)
	// at which a date is considered for a step, before and after being numbers of
	// values: three against three in one block, or two against six.
	stepInformation = 1.5
	// stepDrop and bendDrop limit the 95 % range of the date: within it the
	// residual sum of squares exceeds its minimum by at most this many residual
	// variances. For a step it is -2·log(1-√0.95) (Hansen 2000, Econometrica 68,
	// 575–603), for a bend the 95 % quantile of χ² with one degree of freedom.
	stepDrop = 7.352
	bendDrop = 3.841
	// clipAt is the size, in scales, at which residuals are clipped before sums of
	// squares are compared, so that one entry error does not date the change.
	clipAt = 2.5
	// shapeCost: a step or a bend is preferred to a straight line if twice its log
	// likelihood ratio exceeds shapeCost·log(n). This is more than log(n), the
	// penalty on a coefficient, because the date is searched for.
	shapeCost = 1.5
)

// FixedEffectsChange estimates how and when the values of all blocks changed, each
// block having its own level: by a step, by a bend, or no better than along a
// straight line. Blocks without two different times are ignored.
//
// The date of the step is that of least squares with one level per block; its 95 %
// range is Hansen's. Residuals are clipped at 2.5 scales, and the best dates are
// fitted again to the clipped values (Huber's pseudo-values). The bend is found in
// the same way with max(0, t - date). The scale is moderated by o.Prior.
//
// Errors: those of FixedEffects, and *TooFewError if no date leaves enough values
// on both sides.
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
	// At first clip about the medians; the scale still includes the step.
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
			break // squares overflow
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

// clipped returns y limited to within limit of its fitted values.
func clipped(y []float64, fitted func(int) float64, limit float64) []float64 {
	out := make([]float64, len(y))
	for k, v := range y {
		m := fitted(k)
		out[k] = m + max(-limit, min(limit, v-m))
	}
	return out
}

// clippedSquares returns the sum of squares of residuals clipped at clipAt scales.
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

// spreadAboutMedians returns a robust scale of the values about the medians of
// their blocks.
func spreadAboutMedians(blocks []num.Series) float64 {
	n := 0
	for _, b := range blocks {
		n += len(b.Y)
	}
	rest := residualsAboutMedians(blocks, func(float64) float64 { return 0 })
	return num.MadScale * largestMedian(rest, n-len(blocks))
}

// largestMedian returns the median of the count largest absolute residuals.
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
