package drift

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
	// The market's curve may bend once a year, prices moving by the year, and
	// at most this often.
	marketKnots = 10
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

// market is what the openings of each maker say about the common movement of
// prices: a piecewise linear curve on top of one level a part.
type market struct {
	grid     *grid
	normal   []*mat.SymDense // by maker: cross-products of the terms less their part's mean
	right    [][]float64     // by maker: cross-products with the values
	rows     []float64       // by maker: openings beyond one a part
	variance float64         // of one value about the curve
}

// curve is the market as the other makers tell it.
type curve struct {
	coefficients *mat.VecDense
	cov          *mat.SymDense
	grid         *grid
	heights      []float64 // of the curve at the grid's times
}

// removeMarket takes the movement of the other makers from every maker's
// values. Makers that move apart do not count as market for the rest: they are
// set aside one by one, the farthest first.
func removeMarket(all []*candidate) {
	var makers []*candidate
	met := map[float64]bool{}
	byName := map[string]int{}
	for _, k := range all {
		if k.Part != "" {
			continue
		}
		byName[k.Maker] = len(makers)
		makers = append(makers, k)
		for _, b := range k.series {
			for _, t := range b.T {
				met[t] = true
			}
		}
	}
	times := slices.Sorted(maps.Keys(met))
	line := linear.NewLinearSpline(times, 0)
	curved := newMarket(linear.NewLinearSpline(times, min(marketKnots, int(line.High-line.Low))), makers)
	out := make([]bool, len(makers))
	var ofCurved sum
	var straight *market // only gathered where the curve asks too much of the others
	others := func(i int) (*market, curve, bool) {
		if c, ok := curved.without(i, ofCurved); ok {
			return curved, c, true
		}
		if straight == nil {
			straight = newMarket(line, makers)
		}
		c, ok := straight.without(i, straight.sum(out))
		return straight, c, ok
	}
	for {
		ofCurved = curved.sum(out)
		worst, least := -1, apart/float64(len(makers))
		for i := range makers {
			if out[i] {
				continue
			}
			m, c, ok := others(i)
			if !ok {
				continue
			}
			if p := m.apart(i, c); p < least {
				worst, least = i, p
			}
		}
		if worst < 0 {
			break
		}
		out[worst] = true
	}
	for _, k := range all {
		m, c, ok := others(byName[k.Maker])
		if !ok {
			k.noMarket = true
			continue
		}
		k.subtract(m.grid, c)
	}
}

// sum is the cross-products of all makers but those set aside.
type sum struct {
	normal *mat.SymDense
	right  *mat.VecDense
	rows   float64
	makers int
	out    []bool
}

func (m *market) sum(out []bool) sum {
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
// tell it; false where they are too few.
func (m *market) without(i int, s sum) (curve, bool) {
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
		return curve{}, false
	}
	var factors mat.Cholesky
	if !factors.Factorize(a) || !(factors.Cond() < worstCondition) {
		return curve{}, false
	}
	c := curve{coefficients: mat.NewVecDense(terms, nil), cov: mat.NewSymDense(terms, nil)}
	if err := factors.SolveVecTo(c.coefficients, right); err != nil {
		return curve{}, false
	}
	if err := factors.InverseTo(c.cov); err != nil {
		return curve{}, false
	}
	c.cov.ScaleSym(m.variance, c.cov)
	c.grid, c.heights = m.grid, m.grid.heights(c.coefficients)
	return c, true
}

// apart is the p of a yearly change of maker i beyond the market's.
func (m *market) apart(i int, c curve) float64 {
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

// subtract takes the market's curve from a candidate's values and notes what
// its uncertainty adds to that of the slope.
func (k *candidate) subtract(g *grid, c curve) {
	moments := make([]float64, len(g.at)) // of the times, by the grid's times
	information := 0.0
	moved := make([]num.Series, len(k.series))
	for j, b := range k.series {
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
	k.series = moved
	k.market = c
	if information > 0 {
		v := mat.NewVecDense(g.terms(), nil)
		v.MulVec(g.basis.T(), mat.NewVecDense(len(moments), moments))
		v.ScaleVec(1/information, v)
		k.extra = mat.Inner(v, c.cov, v)
	}
}

// marketAt is the market's movement at a time of the fit, up to a constant.
func (k *candidate) marketAt(t float64) float64 {
	if k.market.grid == nil {
		return 0
	}
	return k.market.between(k.market.grid.find(t, 0))
}
