package market

import (
	"slices"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

// grid holds the times between which every curve of a basis is a straight line. The
// value of a curve is interpolated between the two nearest grid times, so each
// opening adds to sums at two grid times only, whatever the number of terms, and the
// sums are converted to the terms once.
type grid struct {
	at    []float64  // Low of the basis, its knots, and High
	per   []float64  // 1/width of each piece
	basis *mat.Dense // values of the terms, one row per grid time
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

// find returns the piece in which a time lies and its share (0 to 1) of the way
// through it; a time outside the grid counts as its nearer end. The search starts at
// piece from; for times in order, pass the piece of the previous time.
func (g *grid) find(t float64, from int) (piece int, share float64) {
	if t < g.at[from] {
		from = 0
	}
	for from+2 < len(g.at) && t >= g.at[from+1] {
		from++
	}
	return from, min(max((t-g.at[from])*g.per[from], 0), 1)
}

// heights returns the values at the grid times of the curve with the given
// coefficients.
func (g *grid) heights(coefficients *mat.VecDense) []float64 {
	v := mat.NewVecDense(len(g.at), nil)
	v.MulVec(g.basis, coefficients)
	return v.RawVector().Data
}

// between returns the value of the curve a share of the way through a piece.
func (c Curve) between(piece int, share float64) float64 {
	low, high := c.heights[piece], c.heights[piece+1]
	return low + share*(high-low)
}

// products holds the cross products, with each other and with the values, of the
// hat functions of a grid (1 at one grid time, 0 at the others, linear between),
// less their means within parts.
type products struct {
	square []float64 // len(at) × len(at), upper triangle
	right  []float64
	sums   []float64 // workspace for one part
}

func newProducts(g *grid) *products {
	n := len(g.at)
	return &products{square: make([]float64, n*n), right: make([]float64, n), sums: make([]float64, n)}
}

// add adds one part, with a weight for each value.
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

// onto converts the cross products to those of the terms of the basis.
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
