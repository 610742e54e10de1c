package stats

import (
	"math"
	"slices"
)

const (
	// coreTuning, in scales, makes the line that sorts the rows deaf to what lies
	// beyond two scales: half as efficient at normal errors as least squares, but
	// hardly moved by rows shifted by three scales, which bend a line of 95 %
	// efficiency.
	coreTuning = 2.0
	coreSteps  = 200
	// coreMoved is the share of the scale by which line and scale may still move.
	coreMoved = 1e-5
	// keptChance: a row is kept that is more likely clean than not.
	keptChance = 0.5
	// smallestShare of the S-estimate's scale is the least a mixture may come to:
	// where many readings are equal it would otherwise close in on those alone.
	smallestShare = 0.25
)

// core finds the rows that belong together: from the S-estimate on it takes in
// turn the scale of a mixture of clean and shifted rows about the line, and the
// bisquare line at that scale. Whether there are shifted rows at all, and on
// which side, is weighed by likelihood less a penalty. It returns the rows more likely
// clean than not and the scale; no rows where the S-estimate has no scale or the rows in the
// middle do not determine a line.
func core(b *basis, y []float64, from start) (kept []bool, scale float64) {
	kept = make([]bool, b.n)
	if from.scale == 0 {
		return kept, 0
	}
	rows := allRows(b.n)
	solver := newWeighted(b)
	gamma, next := slices.Clone(from.gamma), make([]float64, b.p)
	r, w := make([]float64, b.n), make([]float64, b.n)
	b.residuals(gamma, y, rows, r)
	var m *mixture
	for range coreSteps {
		around := newSpread(r, b.p, from.scale, smallestShare*from.scale)
		var moved float64
		if m == nil {
			m = fitMixture(around, math.Inf(1), sides{fromNear, fromNear})
			moved = math.Inf(1)
		} else {
			moved = m.step(around)
		}
		for i, v := range r {
			w[i] = bisquareWeight(v / (coreTuning * m.scale))
		}
		if !solver.solve(y, rows, w, next) {
			return kept, m.scale
		}
		moved = math.Max(moved, distance(next, gamma)/m.scale)
		copy(gamma, next)
		b.residuals(gamma, y, rows, r)
		if moved <= coreMoved {
			break
		}
	}
	t := sorting(newSpread(r, b.p, m.scale, smallestShare*from.scale))
	for i, v := range r {
		kept[i] = t.cleanChance(v) >= keptChance
	}
	return kept, m.scale
}
