package market

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

const (
	// tuning is the tuning constant of the bisquare weights, in scales, and rounds
	// the number of reweightings. They keep an entry error or a sale price from
	// bending the curve.
	tuning = 4.685
	rounds = 3
)

// gather computes the cross products of every maker, with bisquare weights for
// prices far off the common curve.
func gather(basis linear.LinearSpline, makers [][]num.Series) *gathered {
	m := &gathered{
		grid: newGrid(basis), normal: make([]*mat.SymDense, len(makers)),
		right: make([][]float64, len(makers)), rows: make([]float64, len(makers)),
	}
	n := 0
	for i, parts := range makers {
		for _, b := range parts {
			m.rows[i] += float64(len(b.T) - 1)
			n += len(b.T)
		}
	}
	weights, rest := make([]float64, n), make([]float64, n) // of all openings, in order of maker and part
	for i := range weights {
		weights[i] = 1
	}
	for round := 0; ; round++ {
		at := 0
		for i, parts := range makers {
			p := newProducts(m.grid)
			for _, b := range parts {
				p.add(m.grid, b, weights[at:at+len(b.T)])
				at += len(b.T)
			}
			m.normal[i], m.right[i] = p.onto(m.grid)
		}
		c := m.without(-1, m.sum(make([]bool, len(makers))))
		if !c.Known() {
			return m
		}
		var squares, total float64
		at = 0
		for _, parts := range makers {
			for _, b := range parts {
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
		if round == rounds {
			return m
		}
		scale := num.MAD(rest)
		if !(scale > 0) {
			return m
		}
		for i, r := range rest {
			u := r / (tuning * scale)
			v := math.Max(0, 1-u*u)
			weights[i] = v * v
		}
	}
}

// residuals sets r to the residuals of a part about the curve and its own level, a
// mean with weights w.
func (c Curve) residuals(b num.Series, w, r []float64) {
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
