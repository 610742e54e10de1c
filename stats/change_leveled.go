package stats

import (
	"math"
	"math/rand/v2"
	"slices"
)

// ChangeOptions are the choices of LeveledChange; the zero value means the
// defaults.
type ChangeOptions struct {
	Seed   uint64  // of the permutations; 0 = 1
	Orders int     // permutations for P; 0 = 999
	Floor  float64 // the residual scale is never taken below this
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
	P                             float64 // of a change of level at any time, by permutation within blocks
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

// LeveledChange finds when the values of all blocks changed, each block with a
// level of its own: a step, a bend, or no better than a straight line. Blocks
// without two different times take no part.
//
// The step's date maximises the between-side sum of squares of deviations from
// the block's mean (least squares with one level a block), P is the share of
// orders within blocks whose largest value is at least as large, and the range
// of the date is Hansen's. Residuals are clipped at 2.5 scales and the plainest
// dates fitted again, as in Huber's pseudo-values. Bend: the same with
// max(0, t - date). The scale is moderated by what is known of it.
//
// Errors: those of LeveledLine, and *TooFewError where no date leaves enough
// values on both sides.
func LeveledChange(blocks []Series, o ChangeOptions) (*ChangeFit, error) {
	base, rows, err := newLeveled(blocks)
	if err != nil {
		return nil, err
	}
	used := make([]Series, len(rows.blocks))
	for i, at := range rows.blocks {
		used[i] = inTimeOrder(blocks[at])
	}
	s := newStepSearch(used)
	// First cut about the medians, where a step still widens the scale.
	first, err := RobustLeveledLine(used, LeveledOptions{Floor: o.Floor})
	if err != nil {
		return nil, err
	}
	levels := make([]Series, len(used))
	limit := clipAt * math.Max(spreadAboutMedians(used), o.Floor)
	for i, b := range used {
		m := Median(b.Y)
		levels[i] = Series{T: b.T, Y: clipped(b.Y, func(int) float64 { return m }, limit)}
	}
	best, ok := s.search(levels)
	if !ok {
		return nil, &TooFewError{What: "values on either side of a change", Have: base.N, Need: base.N + 2}
	}
	fit := &ChangeFit{P: s.permuted(levels, best.gain, o)}
	scale := first.Scale
	df := float64(base.DF)
	rest := stepResiduals(used, best)
	for range 3 {
		own := leveledScale(aboutMeans(rest), 0)
		scale = math.Max(math.Sqrt(o.moderated(own*own, df)), o.Floor)
		if scale == 0 {
			break
		}
		before := best.index
		best, rest = s.refine(used, levels, scale)
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
func spreadAboutMedians(blocks []Series) float64 {
	n := 0
	for _, b := range blocks {
		n += len(b.Y)
	}
	rest := residualsAboutMedians(blocks, func(float64) float64 { return 0 })
	return madScale * largestMedian(rest, n-len(blocks))
}

// largestMedian is the median of the count largest absolute residuals.
func largestMedian(residuals [][]float64, count int) float64 {
	var all []float64
	for _, r := range residuals {
		for _, v := range r {
			all = append(all, math.Abs(v))
		}
	}
	selectRank(all, len(all)-count)
	return medianIn(all[len(all)-count:])
}

// stepSearch looks for the date of a step, O(n) a look after sorting once.
type stepSearch struct {
	block, at []int // values in order of time: block and place within it
	time      []float64
	size      []int // of each block
}

// stepBest is the best date found.
type stepBest struct {
	from, step, gain, information float64
	index                         int // first value of the new level, in order of time
}

func newStepSearch(blocks []Series) *stepSearch {
	s := &stepSearch{size: make([]int, len(blocks))}
	for i, b := range blocks {
		s.size[i] = len(b.T)
		for k := range b.T {
			s.block, s.at = append(s.block, i), append(s.at, k)
		}
	}
	order := allRows(len(s.block))
	slices.SortStableFunc(order, func(a, b int) int {
		return compare(blocks[s.block[a]].T[s.at[a]], blocks[s.block[b]].T[s.at[b]])
	})
	block, at := make([]int, len(order)), make([]int, len(order))
	for i, from := range order {
		block[i], at[i] = s.block[from], s.at[from]
		s.time = append(s.time, blocks[block[i]].T[at[i]])
	}
	s.block, s.at = block, at
	return s
}

// each calls visit for every date at which a step may lie, with the place of
// the first value of the new level, the sum of deviations from there on and
// the information on the step.
func (s *stepSearch) each(deviations [][]float64, visit func(index int, cross, information float64)) {
	after := slices.Clone(s.size)
	cross, information := 0.0, 0.0
	term := func(b int) float64 { return float64(after[b]) * float64(s.size[b]-after[b]) / float64(s.size[b]) }
	for i := range s.time {
		if i > 0 && s.time[i] != s.time[i-1] && information >= stepInformation {
			visit(i, cross, information)
		}
		b := s.block[i]
		information -= term(b)
		after[b]--
		information += term(b)
		cross -= deviations[b][s.at[i]]
	}
}

// search finds the date at which a step explains most.
func (s *stepSearch) search(blocks []Series) (stepBest, bool) {
	best := stepBest{gain: -1}
	s.each(deviations(blocks), func(i int, cross, information float64) {
		if gain := cross * cross / information; gain > best.gain {
			best = stepBest{from: s.time[i], step: cross / information, gain: gain, information: information, index: i}
		}
	})
	return best, best.gain >= 0
}

// deviations are the values less their block's mean.
func deviations(blocks []Series) [][]float64 {
	out := make([][]float64, len(blocks))
	for i, b := range blocks {
		mean := plainMean(b.Y)
		out[i] = make([]float64, len(b.Y))
		for k, v := range b.Y {
			out[i][k] = v - mean
		}
	}
	return out
}

// permuted is the share of orders within blocks that hold a step at least as
// plain as the one found.
func (s *stepSearch) permuted(blocks []Series, gain float64, o ChangeOptions) float64 {
	orders, seed := o.Orders, o.Seed
	if orders <= 0 {
		orders = 999
	}
	if seed == 0 {
		seed = defaultSeed
	}
	draw := rand.NewPCG(seed, uint64(len(blocks)))
	d := deviations(blocks)
	// What a date can tell does not depend on the order of the values.
	least := make([]float64, len(s.time)) // sum of deviations from each place on that shows as much
	for i := range least {
		least[i] = math.Inf(1)
	}
	s.each(d, func(i int, _, information float64) { least[i] = math.Sqrt(gain * (1 - 1e-12) * information) })
	values, place := slices.Concat(d...), s.places()
	extreme := 1
	for range orders {
		from := 0
		for _, n := range s.size {
			shuffle(draw, values[from:from+n])
			from += n
		}
		cross := 0.0
		for i, p := range place {
			if math.Abs(cross) >= least[i] {
				extreme++
				break
			}
			cross -= values[p]
		}
	}
	return float64(extreme) / float64(orders+1)
}

// places are those of the values, in order of time, among the values of all
// blocks one behind the other.
func (s *stepSearch) places() []int {
	first := make([]int, len(s.size))
	for b := range len(s.size) - 1 {
		first[b+1] = first[b] + s.size[b]
	}
	out := make([]int, len(s.block))
	for i, b := range s.block {
		out[i] = first[b] + s.at[i]
	}
	return out
}

// dateRange is the 95 % range of the date: the last time before the first
// date that fits nearly as well, and the last such date.
func (s *stepSearch) dateRange(blocks []Series, best stepBest, scale float64) (early, late float64) {
	early, late = best.from, best.from
	first := best.index
	d := deviations(blocks)
	s.each(d, func(i int, cross, information float64) {
		if i == best.index {
			best.gain = cross * cross / information
		}
	})
	s.each(d, func(i int, cross, information float64) {
		if best.gain-cross*cross/information <= stepDrop*scale*scale {
			first = min(first, i)
			late = math.Max(late, s.time[i])
		}
	})
	if first > 0 {
		early = s.time[first-1]
	}
	return early, late
}

// stepResiduals are the residuals of a step, the levels taken as medians so
// that a slip does not move them.
func stepResiduals(blocks []Series, best stepBest) [][]float64 {
	return residualsAboutMedians(blocks, func(t float64) float64 {
		if t >= best.from {
			return best.step
		}
		return 0
	})
}

// residualsAboutMedians are the values less a common movement, about the
// median of their block.
func residualsAboutMedians(blocks []Series, movement func(t float64) float64) [][]float64 {
	out := make([][]float64, len(blocks))
	var room []float64
	for i, b := range blocks {
		out[i] = make([]float64, len(b.Y))
		for k, v := range b.Y {
			out[i][k] = v - movement(b.T[k])
		}
		room = append(room[:0], out[i]...)
		m := medianIn(room)
		for k := range out[i] {
			out[i][k] -= m
		}
	}
	return out
}
