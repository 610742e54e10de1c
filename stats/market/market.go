// Package market answers "how did prices move together?", as seen from each maker:
// by the prices of the others alone.
//
// The model is log price = level of the part + a common piecewise linear curve of
// time + noise, fitted by least squares with bisquare weights. It is a price index
// by the time-dummy method (Z. Griliches (1961), Hedonic Price Indexes for
// Automobiles, NBER, from memory), its dummies a spline and the parts their own
// quality.
//
// It does not say whether a maker moved apart from the others; drift does.
package market

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
)

const (
	// The curve may bend once a year, prices moving by the year, and at most this
	// often.
	mostKnots = 10
	// minMarket is the least number of other makers whose parts were opened
	// again, and minPerTerm the least number of their openings, beyond one a
	// part, for each term of the curve.
	minMarket  = 2
	minPerTerm = 5
	// apart, shared among the makers, is the p below which one moves apart from
	// the market and no longer counts as part of it.
	apart = 0.05
	// worstCondition of the cross-products up to which the curve is determined
	// to some six digits.
	worstCondition = 1e10
)

// gathered is what the openings of each maker say about the common movement of
// prices.
type gathered struct {
	grid     *grid
	normal   []*mat.SymDense // by maker: cross-products of the terms less their part's mean
	right    [][]float64     // by maker: cross-products with the values
	rows     []float64       // by maker: openings beyond one a part
	variance float64         // of one value about the curve
}

// Curve is the movement of log prices as some makers tell it; the zero value is
// that of none.
type Curve struct {
	coefficients *mat.VecDense
	cov          *mat.SymDense
	grid         *grid
	heights      []float64 // of the curve at the grid's times
}

// Known reports whether there were makers enough to tell it.
func (c Curve) Known() bool { return c.grid != nil }

// Others returns for each maker the movement of the others. makers holds the log
// prices of each one's parts over time, in years and in order. Makers that move
// apart do not count as market for the rest: they are set aside one by one, the
// farthest first.
func Others(makers [][]num.Series) []Curve {
	met := map[float64]bool{}
	for _, parts := range makers {
		for _, b := range parts {
			for _, t := range b.T {
				met[t] = true
			}
		}
	}
	times := slices.Sorted(maps.Keys(met))
	line := linear.NewLinearSpline(times, 0)
	curved := gather(linear.NewLinearSpline(times, min(mostKnots, int(line.High-line.Low))), makers)
	out := make([]bool, len(makers))
	var ofCurved sum
	var straight *gathered // only gathered where the curve asks too much of the others
	others := func(i int) (*gathered, Curve) {
		if c := curved.without(i, ofCurved); c.Known() {
			return curved, c
		}
		if straight == nil {
			straight = gather(line, makers)
		}
		return straight, straight.without(i, straight.sum(out))
	}
	for {
		ofCurved = curved.sum(out)
		worst, least := -1, apart/float64(len(makers))
		for i := range makers {
			if out[i] {
				continue
			}
			if m, c := others(i); c.Known() {
				if p := m.apart(i, c); p < least {
					worst, least = i, p
				}
			}
		}
		if worst < 0 {
			break
		}
		out[worst] = true
	}
	curves := make([]Curve, len(makers))
	for i := range makers {
		_, curves[i] = others(i)
	}
	return curves
}

// sum is the cross-products of all makers but those set aside.
type sum struct {
	normal *mat.SymDense
	right  *mat.VecDense
	rows   float64
	makers int
	out    []bool
}

func (m *gathered) sum(out []bool) sum {
	terms := m.grid.terms()
	s := sum{normal: mat.NewSymDense(terms, nil), right: mat.NewVecDense(terms, nil), out: out}
	for j := range m.normal {
		if out[j] || m.rows[j] == 0 {
			continue
		}
		s.normal.AddSym(s.normal, m.normal[j])
		s.right.AddVec(s.right, mat.NewVecDense(terms, m.right[j]))
		s.makers++
		s.rows += m.rows[j]
	}
	return s
}

// without is the market's curve as the makers of a sum but maker i (-1 = none)
// tell it; unknown where they are too few.
func (m *gathered) without(i int, s sum) Curve {
	terms := m.grid.terms()
	a, right := mat.NewSymDense(terms, nil), mat.NewVecDense(terms, nil)
	a.CopySym(s.normal)
	right.CopyVec(s.right)
	makers, rows := s.makers, s.rows
	if i >= 0 && !s.out[i] && m.rows[i] > 0 {
		for r := range terms {
			for c := r; c < terms; c++ {
				a.SetSym(r, c, a.At(r, c)-m.normal[i].At(r, c))
			}
			right.SetVec(r, right.AtVec(r)-m.right[i][r])
		}
		makers--
		rows -= m.rows[i]
	}
	if makers < minMarket || rows < float64(minPerTerm*terms) {
		return Curve{}
	}
	var factors mat.Cholesky
	if !factors.Factorize(a) || !(factors.Cond() < worstCondition) {
		return Curve{}
	}
	c := Curve{coefficients: mat.NewVecDense(terms, nil), cov: mat.NewSymDense(terms, nil)}
	if factors.SolveVecTo(c.coefficients, right) != nil || factors.InverseTo(c.cov) != nil {
		return Curve{}
	}
	c.cov.ScaleSym(m.variance, c.cov)
	c.grid, c.heights = m.grid, m.grid.heights(c.coefficients)
	return c
}

// apart is the p of a yearly change of maker i beyond the market's.
func (m *gathered) apart(i int, c Curve) float64 {
	own := m.normal[i].At(0, 0) // the first term is the straight line
	if own == 0 {
		return 1
	}
	terms := m.grid.terms()
	g := mat.NewVecDense(terms, nil)
	for a := range terms {
		g.SetVec(a, m.normal[i].At(0, a)/own)
	}
	slope := m.right[i][0]/own - mat.Dot(g, c.coefficients)
	se := math.Sqrt(m.variance/own + mat.Inner(g, c.cov, g))
	if se == 0 {
		return 1
	}
	return 2 * distuv.UnitNormal.CDF(-math.Abs(slope)/se)
}

// Remove takes the curve from the log prices of some parts. extra is what its
// uncertainty adds to the squared standard error of their slope on time.
func (c Curve) Remove(parts []num.Series) (moved []num.Series, extra float64) {
	g := c.grid
	moments := make([]float64, len(g.at)) // of the times, by the grid's times
	information := 0.0
	moved = make([]num.Series, len(parts))
	for j, b := range parts {
		mean := num.Mean(b.T)
		moved[j] = num.Series{T: b.T, Y: make([]float64, len(b.Y))}
		piece, share := 0, 0.0
		for n, t := range b.T {
			piece, share = g.find(t, piece)
			moved[j].Y[n] = b.Y[n] - c.between(piece, share)
			information += (t - mean) * (t - mean)
			moments[piece] += (t - mean) * (1 - share)
			moments[piece+1] += (t - mean) * share
		}
	}
	if information > 0 {
		v := mat.NewVecDense(g.terms(), nil)
		v.MulVec(g.basis.T(), mat.NewVecDense(len(moments), moments))
		v.ScaleVec(1/information, v)
		extra = mat.Inner(v, c.cov, v)
	}
	return moved, extra
}

// At is the curve at a time, up to a constant; 0 where it is not known.
func (c Curve) At(t float64) float64 {
	if !c.Known() {
		return 0
	}
	return c.between(c.grid.find(t, 0))
}
