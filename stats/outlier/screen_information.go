package outlier

import (
	"gonum.org/v1/gonum/mat"

	"pleatstat/stats/linear"
)

const (
	// The shares' log odds and the common factor of all shifts are known
	// beforehand to within these standard deviations.
	oddsSD  = 2.0
	shiftSD = 0.3
)

// inform fills in the covariance of the line: the inverse of the observed
// information. Where the likelihood has no maximum it is lineVariance times that
// of as many clean rows.
func (m *described) inform(b *linear.Basis) {
	info, clean := m.information(b)
	p := b.P
	m.cov = mat.NewSymDense(p, nil)
	var chol mat.Cholesky
	var inverse mat.SymDense
	known := chol.Factorize(info) && chol.InverseTo(&inverse) == nil
	for a := range p {
		for e := a; e < p; e++ {
			switch {
			case known:
				m.cov.SetSym(a, e, inverse.At(a, e))
			case a == e:
				m.cov.SetSym(a, a, lineVariance/clean)
			}
		}
	}
}

// information is the observed information: that of rows of known kind less what
// is lost by not knowing it (T. Louis (1982), J. R. Stat. Soc. B 44, 226-233,
// from memory). Unknown are the line (in scales), the log of the scale, the log
// odds of rows shifted to the near side in each part, and a factor common to
// those shifts. It also returns the number of clean rows to be expected.
func (m *described) information(b *linear.Basis) (info *mat.SymDense, clean float64) {
	p := b.P
	odds, shift := p+1, -1
	d := odds + len(m.share)
	if m.near != noSide {
		shift = d
		d++
	}
	info = mat.NewSymDense(d, nil)
	score, expected := make([]float64, d), make([]float64, d)
	var c chances
	for i := range m.r {
		u := m.at(i, &c)
		clean += c.clean
		z := b.Row(i)
		clear(expected)
		add := func(chance, size, variance float64, near bool) {
			clear(score)
			for a, za := range z {
				score[a] = za * (u - size) / variance
				for e := a; e < p; e++ {
					info.SetSym(a, e, info.At(a, e)+chance*za*z[e]/variance)
				}
			}
			if size == 0 {
				score[p] = u*u - 1
				info.SetSym(p, p, info.At(p, p)+2*chance*u*u)
				for a, za := range z {
					info.SetSym(a, p, info.At(a, p)+2*chance*u*za)
				}
			}
			if shift >= 0 {
				at := odds + m.partOf(i)
				share := m.share[at-odds]
				score[at] = -share
				info.SetSym(at, at, info.At(at, at)+chance*share*(1-share))
				if near {
					score[at] = 1 - share
					score[shift] = (u - size) * size / variance
					info.SetSym(shift, shift, info.At(shift, shift)+chance*(2*size-u)*size/variance)
					for a, za := range z {
						info.SetSym(a, shift, info.At(a, shift)+chance*za*size/variance)
					}
				}
			}
			for a, v := range score {
				expected[a] += chance * v
			}
			info.SymRankOne(info, -chance, mat.NewVecDense(d, score))
		}
		add(c.clean, 0, 1, false)
		for k, q := range c.toNear[:c.isNear] {
			if q > leastWeight {
				add(q, toward(m.near, pieceSizes[k]), pieceVariance[k], true)
			}
		}
		if c.isFar {
			for k := firstFar; k < len(pieceSizes); k++ {
				if q := c.toFar[k]; q > leastWeight {
					add(q, toward(sideOf(u), pieceSizes[k]), pieceVariance[k], false)
				}
			}
		}
		info.SymRankOne(info, 1, mat.NewVecDense(d, expected))
	}
	for at := range m.share {
		info.SetSym(odds+at, odds+at, info.At(odds+at, odds+at)+1/(oddsSD*oddsSD))
	}
	if shift >= 0 {
		info.SetSym(shift, shift, info.At(shift, shift)+1/(shiftSD*shiftSD))
	}
	return info, clean
}
