package drift

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

const (
	// marketTuning, in scales, and marketRounds of bisquare weights keep a
	// price that was a slip or a sale from bending the curve.
	marketTuning = 4.685
	marketRounds = 3
)

// newMarket gathers the cross-products of every maker, with bisquare weights
// against prices far off the common curve.
func newMarket(basis linear.LinearSpline, makers []*candidate) *market {
	m := &market{
		grid: newGrid(basis), normal: make([]*mat.SymDense, len(makers)),
		right: make([][]float64, len(makers)), rows: make([]float64, len(makers)),
	}
	n := 0
	for i, k := range makers {
		for _, b := range k.series {
			m.rows[i] += float64(len(b.T) - 1)
			n += len(b.T)
		}
	}
	weights, rest := make([]float64, n), make([]float64, n) // of all openings, by maker and part
	for i := range weights {
		weights[i] = 1
	}
	for round := 0; ; round++ {
		at := 0
		for i, k := range makers {
			p := newProducts(m.grid)
			for _, b := range k.series {
				p.add(m.grid, b, weights[at:at+len(b.T)])
				at += len(b.T)
			}
			m.normal[i], m.right[i] = p.onto(m.grid)
		}
		c, ok := m.without(-1, m.sum(make([]bool, len(makers))))
		if !ok {
			return m
		}
		var squares, total float64
		at = 0
		for _, k := range makers {
			for _, b := range k.series {
				r, w := rest[at:at+len(b.T)], weights[at:at+len(b.T)]
				c.residuals(b, w, r)
				for j := range r {
					squares += w[j] * r[j] * r[j]
					total += w[j]
				}
				total-- // the part's level
				at += len(b.T)
			}
		}
		m.variance = squares / math.Max(1, total-float64(m.grid.terms()))
		if round == marketRounds {
			return m
		}
		scale := num.MAD(rest)
		if !(scale > 0) {
			return m
		}
		for i, r := range rest {
			u := r / (marketTuning * scale)
			v := math.Max(0, 1-u*u)
			weights[i] = v * v
		}
	}
}

// residuals of one part about the curve and its own weighted level.
func (c curve) residuals(b num.Series, w, r []float64) {
	level, total := 0.0, 0.0
	piece, share := 0, 0.0
	for k, t := range b.T {
		piece, share = c.grid.find(t, piece)
		r[k] = b.Y[k] - c.between(piece, share)
		level += w[k] * r[k]
		total += w[k]
	}
	if total > 0 {
		level /= total
	}
	for k := range r {
		r[k] -= level
	}
}
