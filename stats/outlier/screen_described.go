package outlier

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/robust"
)

const (
	// cleanBefore rows are known to be clean beforehand, as it were, so that no
	// share is made of nothing.
	cleanBefore = 1.0
	// Shares to begin with: of rows shifted to the near side, everywhere or in
	// the part of the log where they are many and where they are few; far ones.
	firstShare, manyShare, fewShare, farFirstShare = 0.1, 0.5, 0.02, 0.005
)

// described is one description of the rows about a line: normal noise, rows
// shifted to the near side (if any) in shares that may differ between parts of
// the log, and far shifted rows to the other side, or to both where there is no
// near side. Line, scale and shares are those of greatest likelihood.
type described struct {
	near  int       // 0 up, 1 down; noSide
	cut   *float64  // in the direction of the design; nil = one part for all
	part  []uint8   // of every row
	share []float64 // of rows shifted to the near side, in each part
	// sizes are the shares of the sizes, up and down: those on the near side among
	// themselves, others among all rows.
	sizes [2][len(pieceSizes)]float64
	far   float64 // the sum of the latter

	gamma, r []float64 // line in the basis, residuals
	scale    float64
	evidence float64 // log likelihood, with the rows known to be clean beforehand

	cov *mat.SymDense // of gamma in squared scales
}

const noSide = -1

// describedFrom is a description to begin with; many is the part in which shifted
// rows are many, or -1.
func describedFrom(near int, cut *float64, s *someRows, from robust.Start, r []float64, many int) *described {
	m := &described{near: near, cut: cut, gamma: slices.Clone(from.Gamma), r: slices.Clone(r), scale: from.Scale}
	if cut != nil {
		m.part = above(s.at, *cut)
	}
	for side := range m.sizes {
		for k := range pieceSizes {
			switch {
			case side == near:
				m.sizes[side][k] = 1.0 / float64(len(pieceSizes))
			case k >= firstFar:
				m.sizes[side][k] = farFirstShare
				m.far += farFirstShare
			}
		}
	}
	switch {
	case near == noSide:
	case many < 0:
		m.share = []float64{firstShare}
	default:
		m.share = []float64{fewShare, fewShare}
		m.share[many] = manyShare
	}
	return m
}

// extend carries a description on to other rows.
func (m *described) extend(s *someRows) {
	if m.cut != nil {
		m.part = above(s.at, *m.cut)
	}
	m.r = make([]float64, s.N)
	s.Residuals(m.gamma, s.y, s.rows(), m.r)
}

// addClean adds to sums a multiple of each row's chance to be clean.
func (m *described) addClean(sums []float64, times float64) {
	if times == 0 {
		return
	}
	var c chances
	for i := range m.r {
		m.at(i, &c)
		sums[i] += times * c.clean
	}
}

func (m *described) partOf(i int) int {
	if m.part == nil {
		return 0
	}
	return int(m.part[i])
}

// maximise takes so many steps of expectation and maximisation (A. Dempster, N.
// Laird and D. Rubin (1977), J. R. Stat. Soc. B 39, 1-38) or until nothing moves by
// more than the given share of the scale.
func (m *described) maximise(s *someRows, least float64, steps int, enough float64) {
	rows := s.rows()
	for range steps {
		moved := m.step(s, least)
		s.Residuals(m.gamma, s.y, rows, m.r)
		if moved <= enough {
			break
		}
	}
}

// step is one of these steps, but for the residuals. It returns by how much line or
// scale have moved, in scales. The line moves as if all rows scattered as little
// as clean ones: in the right direction and never too far.
func (m *described) step(s *someRows, least float64) (moved float64) {
	p := s.P
	var c chances
	var taken [2][len(pieceSizes)]float64
	near, rows := make([]float64, len(m.share)), make([]float64, len(m.share))
	pulls := make([]float64, p)
	clean, squares := 0.0, 0.0
	m.evidence = 0
	product := 1.0
	for i := range m.r {
		u := m.at(i, &c)
		product *= c.total
		if i%8 == 7 { // a density is above pieceGround, eight of them above 1e-72
			m.evidence += math.Log(product)
			product = 1
		}
		clean += c.clean
		squares += c.clean * u * u
		pull := c.clean * u
		if m.near != noSide {
			for k, q := range c.toNear[:c.isNear] {
				taken[m.near][k] += q
				pull += q * (u - toward(m.near, pieceSizes[k])) / pieceVariance[k]
			}
			at := m.partOf(i)
			near[at] += c.near
			rows[at]++
		}
		if c.isFar {
			side := sideOf(u)
			for k := firstFar; k < len(pieceSizes); k++ {
				q := c.toFar[k]
				taken[side][k] += q
				pull += q * (u - toward(side, pieceSizes[k])) / pieceVariance[k]
			}
		}
		for a, z := range s.Z[i*p : (i+1)*p] {
			pulls[a] += pull * z
		}
	}
	m.evidence += math.Log(product) - float64(s.N)*math.Log(m.scale)
	before := m.scale
	for a, v := range pulls {
		by := v / s.stretch
		m.gamma[a] += by * before
		moved = math.Max(moved, math.Abs(by))
	}
	m.scale = math.Max(least, before*math.Sqrt(squares/math.Max(clean-float64(p), 1)))
	m.apportion(&taken, near, rows)
	return math.Max(moved, math.Abs(m.scale-before)/before)
}

// apportion takes the shares from the rows counted.
func (m *described) apportion(taken *[2][len(pieceSizes)]float64, near, rows []float64) {
	n := float64(len(m.r))
	m.far = 0
	for side := range m.sizes {
		total := n + cleanBefore
		if side == m.near {
			total = 0
			for _, v := range taken[side] {
				total += v
			}
			if total == 0 {
				continue
			}
		}
		for k, v := range taken[side] {
			m.sizes[side][k] = v / total
			if side != m.near {
				m.far += v / total
			}
		}
	}
	for at := range m.share {
		m.share[at] = near[at] / (rows[at] + cleanBefore/float64(len(m.share)))
		m.evidence += cleanBefore / float64(len(m.share)) * math.Log(math.Max(1-m.share[at]-m.far, leastRest))
	}
	if m.near == noSide {
		m.evidence += cleanBefore * math.Log(math.Max(1-m.far, leastRest))
	}
}
