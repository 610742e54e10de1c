package panel

import (
	"math"
	"slices"

	"pleatstat/stats/num"
)

// stepSearch searches for the date of a step: it sorts once, and each search is
// O(n).
type stepSearch struct {
	block, at []int // of the values in order of time: block and index within it
	time      []float64
	size      []int // of each block
}

// stepBest is the best date found.
type stepBest struct {
	from, step, gain, information float64
	index                         int // of the first value at the new level, in order of time
}

func newStepSearch(blocks []num.Series) *stepSearch {
	s := &stepSearch{size: make([]int, len(blocks))}
	for i, b := range blocks {
		s.size[i] = len(b.T)
		for k := range b.T {
			s.block, s.at = append(s.block, i), append(s.at, k)
		}
	}
	order := num.AllRows(len(s.block))
	slices.SortStableFunc(order, func(a, b int) int {
		return num.Compare(blocks[s.block[a]].T[s.at[a]], blocks[s.block[b]].T[s.at[b]])
	})
	block, at := make([]int, len(order)), make([]int, len(order))
	for i, from := range order {
		block[i], at[i] = s.block[from], s.at[from]
		s.time = append(s.time, blocks[block[i]].T[at[i]])
	}
	s.block, s.at = block, at
	return s
}

// each calls visit for every date at which a step may lie, with the index of the
// first value at the new level, the sum of deviations from there on, and the
// information Σ before·after/(before+after).
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

// search returns the date at which a step explains most; false if there is none.
func (s *stepSearch) search(blocks []num.Series) (stepBest, bool) {
	best := stepBest{gain: -1}
	s.each(deviations(blocks), func(i int, cross, information float64) {
		if gain := cross * cross / information; gain > best.gain {
			best = stepBest{from: s.time[i], step: cross / information, gain: gain, information: information, index: i}
		}
	})
	return best, best.gain >= 0
}

// deviations returns the values of each block less their mean.
func deviations(blocks []num.Series) [][]float64 {
	out := make([][]float64, len(blocks))
	for i, b := range blocks {
		mean := num.PlainMean(b.Y)
		out[i] = make([]float64, len(b.Y))
		for k, v := range b.Y {
			out[i][k] = v - mean
		}
	}
	return out
}

// places returns, for the values in order of time, their indices in the
// concatenation of all blocks.
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

// dateRange returns the 95 % range of the date: the last time before the first date
// that fits nearly as well (see stepDrop), and the last such date.
func (s *stepSearch) dateRange(blocks []num.Series, best stepBest, scale float64) (early, late float64) {
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

// stepResiduals returns the residuals of a step, with medians as levels so that an
// entry error does not move them.
func stepResiduals(blocks []num.Series, best stepBest) [][]float64 {
	return residualsAboutMedians(blocks, func(t float64) float64 {
		if t >= best.from {
			return best.step
		}
		return 0
	})
}

// residualsAboutMedians returns the values less a common movement, as deviations
// from the medians of their blocks.
func residualsAboutMedians(blocks []num.Series, movement func(t float64) float64) [][]float64 {
	out := make([][]float64, len(blocks))
	var room []float64
	for i, b := range blocks {
		out[i] = make([]float64, len(b.Y))
		for k, v := range b.Y {
			out[i][k] = v - movement(b.T[k])
		}
		room = append(room[:0], out[i]...)
		m := num.MedianIn(room)
		for k := range out[i] {
			out[i][k] -= m
		}
	}
	return out
}
