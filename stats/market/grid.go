package market

import (
	"slices"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// grid is the times between which every curve of a basis is straight. A curve's
// value is the mean of those at the two times about it, so that sums over
// openings are gathered at two times each, whatever the number of terms, and
// carried over to the terms once.
type grid struct {
	at    []float64  // from the basis's Low over its knots to its High
	per   []float64  // one over the width of each piece
	basis *mat.Dense // the terms, one row for each time
}

func newGrid(basis linear.LinearSpline) *grid {
	g := &grid{at: slices.Concat([]float64{basis.Low}, basis.Knots, []float64{basis.High})}
	g.per = make([]float64, len(g.at)-1)
	g.basis = mat.NewDense(len(g.at), basis.Len(), nil)
	for i, t := range g.at {
		basis.At(t, g.basis.RawRowView(i))
		if i > 0 && t > g.at[i-1] {
			g.per[i-1] = 1 / (t - g.at[i-1])
		}
	}
	return g
}

func (g *grid) terms() int { return g.basis.RawMatrix().Cols }

// find returns the piece a time lies in and its share of the way through it;
// outside the grid, that of its end. It looks from the given piece on, which for
// times in order is that of the one before.
func (g *grid) find(t float64, from int) (piece int, share float64) {
	if t < g.at[from] {
		from = 0
	}
	for from+2 < len(g.at) && t >= g.at[from+1] {
		from++
	}
	return from, min(max((t-g.at[from])*g.per[from], 0), 1)
}

// heights are the values at the grid's times of the curve with such
// coefficients.
func (g *grid) heights(coefficients *mat.VecDense) []float64 {
	v := mat.NewVecDense(len(g.at), nil)
	v.MulVec(g.basis, coefficients)
	return v.RawVector().Data
}

// between is the curve's value a share of the way through a piece.
func (c Curve) between(piece int, share float64) float64 {
	low, high := c.heights[piece], c.heights[piece+1]
	return low + share*(high-low)
}

// products are cross-products of the curves that are 1 at one time of a grid,
// 0 at the others and straight between, less their part's mean, with each other
// and with the values.
type products struct {
	square []float64 // len(at) rows and columns
	right  []float64
	sums   []float64 // room for one part
}

func newProducts(g *grid) *products {
	n := len(g.at)
	return &products{square: make([]float64, n*n), right: make([]float64, n), sums: make([]float64, n)}
}

// add adds one part, its values weighted.
func (p *products) add(g *grid, b num.Series, w []float64) {
	n := len(g.at)
	total, mean := 0.0, 0.0
	for k, y := range b.Y {
		total += w[k]
		mean += w[k] * y
	}
	if total == 0 {
		return
	}
	mean /= total
	clear(p.sums)
	piece, share := 0, 0.0
	for k, t := range b.T {
		piece, share = g.find(t, piece)
		late := w[k] * share
		early := w[k] - late
		p.sums[piece] += early
		p.sums[piece+1] += late
		y := b.Y[k] - mean
		p.right[piece] += early * y
		p.right[piece+1] += late * y
		at := piece * (n + 1) // on the diagonal
		p.square[at] += early * (1 - share)
		p.square[at+1] += early * share
		p.square[at+n+1] += late * share
	}
	for i, s := range p.sums {
		s /= total
		for j := i; j < n; j++ {
			p.square[i*n+j] -= s * p.sums[j]
		}
	}
}

// onto carries the cross-products over to the terms of the basis.
func (p *products) onto(g *grid) (normal *mat.SymDense, right []float64) {
	n, terms := len(g.at), g.terms()
	var half, full mat.Dense
	half.Mul(mat.NewSymDense(n, p.square), g.basis)
	full.Mul(g.basis.T(), &half)
	normal = mat.NewSymDense(terms, nil)
	for i := range terms {
		for j := i; j < terms; j++ {
			normal.SetSym(i, j, full.At(i, j))
		}
	}
	v := mat.NewVecDense(terms, nil)
	v.MulVec(g.basis.T(), mat.NewVecDense(n, p.right))
	return normal, v.RawVector().Data
}
