// Package market answers "how did prices in general move?", for each maker from the
// prices of the other makers only.
//
// The model is log price = level of the part + a common piecewise linear curve of
// time + noise, fitted by least squares with bisquare weights. It is a price index
// by the time-dummy method (Z. Griliches (1961), Hedonic Price Indexes for
// Automobiles, NBER, from memory), with a spline in place of the dummies and the
// levels of parts in place of quality.
//
// It does not test whether a maker moved differently from the others; package drift
// does.
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
	// mostKnots is the largest number of knots; the curve has one per year up to
	// this.
	mostKnots = 10
	// minMarket is the smallest number of other makers with a part opened more than
	// once, and minPerTerm the smallest number of their openings, not counting the
	// first of each part, per term of the curve.
	minMarket  = 2
	minPerTerm = 5
	// exclusionLevel is the level, divided by the number of makers (Bonferroni), at which a
	// maker whose prices move differently is excluded from the market of the others.
	exclusionLevel = 0.05
	// worstCondition is the condition number of the cross products up to which the
	// curve is determined, to about six digits.
	worstCondition = 1e10
)

// gathered holds the cross products of each maker for the common movement of prices.
type gathered struct {
	grid     *grid
	normal   []*mat.SymDense // by maker: cross products of the terms less their means within parts
	right    [][]float64     // by maker: cross products with the values
	rows     []float64       // by maker: openings, not counting the first of each part
	variance float64         // of one value about the curve
}

// Curve is the common movement of the log prices of some makers; the zero value is
// an unknown curve.
type Curve struct {
	coefficients *mat.VecDense
	cov          *mat.SymDense
	grid         *grid
	heights      []float64 // values of the curve at the grid times
}

// Known reports whether the curve could be estimated.
func (c Curve) Known() bool { return c.grid != nil }

// Others returns for each maker the common movement of the others. makers holds, by
// maker, the log prices of its parts in order of time, in years. Makers whose prices
// move differently are excluded from the market of the others one by one, the most
// significant first.
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
	var straight *gathered // only gathered if the others are too few for the curve
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
		worst, least := -1, exclusionLevel/float64(len(makers))
		for i := range makers {
			if out[i] {
				continue
			}
			if m, c := others(i); c.Known() {
				if p := m.differenceP(i, c); p < least {
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

// sum holds the cross products of all makers except those excluded (out).
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

// without returns the curve of the makers of s except maker i (-1 = no exception);
// an unknown curve if they are too few.
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

// differenceP returns the two-sided p-value of a linear change of maker i's prices
// relative to the curve.
func (m *gathered) differenceP(i int, c Curve) float64 {
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

// Remove subtracts the curve, which must be known, from the log prices of parts.
// extra is what its uncertainty adds to the squared standard error of their common
// slope on time.
func (c Curve) Remove(parts []num.Series) (moved []num.Series, extra float64) {
	g := c.grid
	moments := make([]float64, len(g.at)) // cross products of the hat functions with the times
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

// At returns the curve at a time, up to a constant; 0 if it is not known.
func (c Curve) At(t float64) float64 {
	if !c.Known() {
		return 0
	}
	return c.between(c.grid.find(t, 0))
}
