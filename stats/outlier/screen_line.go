package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/robust"
)

const (
	// keptChance: a row is kept that is more likely clean than not.
	keptChance = 0.5
	// smallestShare of the S-estimate's scale is the least a mixture may come to:
	// where many readings are equal it would otherwise close in on those alone.
	smallestShare = 0.25
	// partPenalty is what the log likelihood must gain for the share of shifted
	// rows to differ between two parts of the log.
	partPenalty = 2.6
	// trySteps show which of two beginnings is the better one, and whether a
	// description is hopeless: its log chance that far behind the best.
	trySteps = 10
	hopeless = 10.0
	// describedSteps of expectation and maximisation at most follow, until line
	// and scale move by less than describedMoved of the scale.
	describedSteps = 300
	describedMoved = 3e-4
	// Of more than describedRows as many are weighed, and what they say is carried
	// on to all in carriedSteps: those are close.
	describedRows = 2000
	carriedSteps  = 10
)

// mean is what the descriptions of the rows come to together.
type mean struct {
	gamma []float64     // of the line, in the basis
	cov   *mat.SymDense // in squared scales
	clean []float64     // chance of each row to be clean
	scale float64
}

// describe weighs descriptions of the rows by their likelihood and returns their
// mean: no shifted rows, some up, some down; the latter in one share or in two,
// one below and one above a cut in the direction of the design. The line belongs
// to the description: where the shifted rows are many among the largest, say, a
// line bent up through them and a straight one with the shares they need are
// weighed against each other. The covariance is the mean of theirs and that
// between them. Of many rows, given in an order of their own, an even sample weighs
// and the likely descriptions are carried on to all.
func describe(b *linear.Basis, y []float64, order []int, from robust.Start) *mean {
	least := smallestShare * from.Scale
	at := direction(b, from.Gamma)
	all := &someRows{Basis: b, y: y, at: at, stretch: float64(b.N)}
	some := all
	if b.N > describedRows {
		some = all.sample(order)
	}
	tried, gains := some.tryAll(from, least)
	most := floats.Max(gains)
	of := tried[:0]
	for k, m := range tried {
		if gains[k] < most-hopeless {
			continue
		}
		penalty := m.evidence - gains[k]
		m.maximise(some, least, describedSteps, describedMoved)
		m.inform(some.Basis)
		gain := m.evidence - penalty
		if some != all {
			gain *= float64(b.N) / float64(some.N)
			m.cov.ScaleSym(float64(some.N)/float64(b.N), m.cov)
		}
		gains[len(of)] = gain
		of = append(of, m)
	}
	weigh(gains[:len(of)])
	if some != all {
		for k, m := range of {
			if gains[k] >= leastWeight {
				m.extend(all)
				m.maximise(all, least, carriedSteps, describedMoved)
			}
		}
	}
	return averaged(of, gains, all)
}

// weigh turns log chances into chances.
func weigh(gains []float64) {
	total := floats.LogSumExp(gains)
	for k, g := range gains {
		gains[k] = math.Exp(g - total)
	}
}

// tryAll takes a few steps with every description and returns them with their
// evidence less penalty.
func (s *someRows) tryAll(from robust.Start, least float64) (all []*described, gains []float64) {
	r := make([]float64, s.N)
	s.Residuals(from.Gamma, s.y, s.rows(), r)
	try := func(near int, cut *float64, penalty float64) {
		var best *described
		for _, many := range beginnings(cut) {
			m := describedFrom(near, cut, s, from, r, many)
			m.maximise(s, least, trySteps, 0)
			if best == nil || m.evidence > best.evidence {
				best = m
			}
		}
		all, gains = append(all, best), append(gains, best.evidence-penalty)
	}
	try(noSide, nil, 0)
	cuts := cutsOf(s.at)
	for near := range 2 {
		try(near, nil, 0)
		for k := range cuts {
			try(near, &cuts[k], partPenalty)
		}
	}
	return all, gains
}

// beginnings are the parts of a log in which shifted rows may be many at first.
func beginnings(cut *float64) []int {
	if cut == nil {
		return []int{-1}
	}
	return []int{0, 1}
}

// averaged is the mean of descriptions with the given chances.
func averaged(of []*described, chances []float64, s *someRows) *mean {
	p := s.P
	out := &mean{gamma: make([]float64, p), cov: mat.NewSymDense(p, nil), clean: make([]float64, s.N)}
	for k, m := range of {
		if chances[k] < leastWeight {
			chances[k] = 0
		}
		floats.AddScaled(out.gamma, chances[k], m.gamma)
		out.scale += chances[k] * m.scale
		m.addClean(out.clean, chances[k])
	}
	apart, part := mat.NewVecDense(p, nil), mat.NewSymDense(p, nil)
	for k, m := range of {
		for a := range p {
			apart.SetVec(a, (m.gamma[a]-out.gamma[a])/out.scale)
		}
		ratio := m.scale / out.scale
		part.ScaleSym(chances[k]*ratio*ratio, m.cov)
		out.cov.AddSym(out.cov, part)
		out.cov.SymRankOne(out.cov, chances[k], apart)
	}
	return out
}

// kept are the rows more likely clean than not.
func (m *mean) kept() []bool {
	out := make([]bool, len(m.clean))
	for i, c := range m.clean {
		out[i] = c >= keptChance
	}
	return out
}
