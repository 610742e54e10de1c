package drift

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats"
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
	// marketTuning, in scales, and marketRounds of bisquare weights keep a
	// price that was a slip or a sale from bending the curve.
	marketTuning = 4.685
	marketRounds = 3
	// worstCondition of the cross-products up to which the curve is determined
	// to some six digits.
	worstCondition = 1e10
)

// market is what the openings of each maker say about the common movement of
// prices: a piecewise linear curve on top of one level a part.
type market struct {
	basis    stats.Hinges
	normal   []*mat.SymDense // by maker: cross-products of the terms less their part's mean
	right    [][]float64     // by maker: cross-products with the values
	rows     []float64       // by maker: openings beyond one a part
	variance float64         // of one value about the curve
	room     []float64       // for the terms of one part
}

// curve is the market as the other makers tell it.
type curve struct {
	coefficients *mat.VecDense
	cov          *mat.SymDense
}

// removeMarket takes the movement of the other makers from every maker's
// values. Makers that move apart do not count as market for the rest: they are
// set aside one by one, the farthest first.
func removeMarket(all []*candidate) {
	var makers []*candidate
	var times []float64
	byName := map[string]int{}
	for _, k := range all {
		if k.Part != "" {
			continue
		}
		byName[k.Maker] = len(makers)
		makers = append(makers, k)
		for _, b := range k.series {
			times = append(times, b.T...)
		}
	}
	line := stats.NewHinges(times, 0)
	curved := newMarket(stats.NewHinges(times, min(marketKnots, int(line.High-line.Low))), makers)
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
		k.subtract(m.basis, c)
	}
}

// newMarket gathers the cross-products of every maker, with bisquare weights
// against prices far off the common curve.
func newMarket(basis stats.Hinges, makers []*candidate) *market {
	terms := basis.Len()
	m := &market{basis: basis, normal: make([]*mat.SymDense, len(makers)), right: make([][]float64, len(makers)), rows: make([]float64, len(makers))}
	weights := make([][][]float64, len(makers))
	for i, k := range makers {
		for _, b := range k.series {
			w := make([]float64, len(b.T))
			for j := range w {
				w[j] = 1
			}
			weights[i] = append(weights[i], w)
			m.rows[i] += float64(len(b.T) - 1)
		}
	}
	row := make([]float64, terms)
	var rest []float64
	for round := 0; ; round++ {
		for i, k := range makers {
			m.normal[i], m.right[i] = mat.NewSymDense(terms, nil), make([]float64, terms)
			for j, b := range k.series {
				m.add(i, b, weights[i][j])
			}
		}
		c, ok := m.without(-1, m.sum(make([]bool, len(makers))))
		if !ok {
			return m
		}
		var squares, total float64
		rest = rest[:0]
		for i, k := range makers {
			for j, b := range k.series {
				r, w := residuals(basis, c, b, weights[i][j], row), weights[i][j]
				for n := range r {
					squares += w[n] * r[n] * r[n]
					total += w[n]
				}
				rest = append(rest, r...)
				total-- // the part's level
			}
		}
		m.variance = squares / math.Max(1, total-float64(terms))
		if round == marketRounds {
			return m
		}
		scale := stats.MAD(rest)
		if !(scale > 0) {
			return m
		}
		at := 0
		for i := range makers {
			for _, w := range weights[i] {
				for n := range w {
					u := rest[at] / (marketTuning * scale)
					v := math.Max(0, 1-u*u)
					w[n] = v * v
					at++
				}
			}
		}
	}
}

// add adds one part's cross-products to maker i's.
func (m *market) add(i int, b stats.Series, w []float64) {
	terms := m.basis.Len()
	if need := len(b.T) * terms; cap(m.room) < need {
		m.room = make([]float64, need)
	}
	rows := blas64.General{Rows: len(b.T), Cols: terms, Stride: terms, Data: m.room[:len(b.T)*terms]}
	mean := make([]float64, terms)
	meanY, sum := 0.0, 0.0
	for n, t := range b.T {
		row := rows.Data[n*terms : (n+1)*terms]
		m.basis.At(t, row)
		floats.AddScaled(mean, w[n], row)
		meanY += w[n] * b.Y[n]
		sum += w[n]
	}
	if sum == 0 {
		return
	}
	floats.Scale(1/sum, mean)
	meanY /= sum
	for n := range b.T {
		row := rows.Data[n*terms : (n+1)*terms]
		floats.Sub(row, mean)
		floats.AddScaled(m.right[i], w[n]*(b.Y[n]-meanY), row)
		floats.Scale(math.Sqrt(w[n]), row)
	}
	blas64.Syrk(blas.Trans, 1, rows, 1, m.normal[i].RawSymmetric())
}

// residuals of one part about the curve and its own weighted level.
func residuals(basis stats.Hinges, c curve, b stats.Series, w, row []float64) []float64 {
	r := make([]float64, len(b.T))
	level, sum := 0.0, 0.0
	for n, t := range b.T {
		basis.At(t, row)
		r[n] = b.Y[n] - floats.Dot(row, c.coefficients.RawVector().Data)
		level += w[n] * r[n]
		sum += w[n]
	}
	if sum > 0 {
		level /= sum
	}
	for n := range r {
		r[n] -= level
	}
	return r
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
	terms := m.basis.Len()
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
	terms := m.basis.Len()
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
	return c, true
}

// apart is the p of a yearly change of maker i beyond the market's.
func (m *market) apart(i int, c curve) float64 {
	own := m.normal[i].At(0, 0) // the first term is the straight line
	if own == 0 {
		return 1
	}
	terms := m.basis.Len()
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
func (k *candidate) subtract(basis stats.Hinges, c curve) {
	terms := basis.Len()
	row, g := make([]float64, terms), make([]float64, terms)
	information := 0.0
	moved := make([]stats.Series, len(k.series))
	for j, b := range k.series {
		mean := stats.Mean(b.T)
		moved[j] = stats.Series{T: b.T, Y: make([]float64, len(b.Y))}
		for n, t := range b.T {
			basis.At(t, row)
			moved[j].Y[n] = b.Y[n] - floats.Dot(row, c.coefficients.RawVector().Data)
			information += (t - mean) * (t - mean)
			for a, v := range row {
				g[a] += (t - mean) * v
			}
		}
	}
	k.series = moved
	k.basis, k.market = basis, c
	if information > 0 {
		v := mat.NewVecDense(terms, g)
		v.ScaleVec(1/information, v)
		k.extra = mat.Inner(v, c.cov, v)
	}
}

// marketAt is the market's movement at a time of the fit, up to a constant.
func (k *candidate) marketAt(t float64) float64 {
	if k.market.coefficients == nil {
		return 0
	}
	if k.terms == nil {
		k.terms = make([]float64, k.basis.Len())
	}
	k.basis.At(t, k.terms)
	return floats.Dot(k.terms, k.market.coefficients.RawVector().Data)
}
