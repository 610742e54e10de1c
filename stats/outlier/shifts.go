package outlier

import "math"

// shiftSizes: rows off the line are thought of as shifted up or down by about one
// of these numbers of standard deviations of honest rows, evenly in logarithms,
// sizeChances being their chances beforehand. Nearer ones can't be told from
// honest rows, farther ones need no telling.
var (
	shiftSizes  = [...]float64{2, 2.8, 3.9, 5.5, 8, 14, 30}
	sizeChances = [...]float64{0.10, 0.25, 0.25, 0.20, 0.10, 0.05, 0.05}
)

const (
	// shiftSpread is by how much of itself a shift varies from row to row.
	shiftSpread = 0.17
	// strayShare of shifted rows are shifted by anything from farSize on.
	strayShare = 0.02
	farSize    = 2 // index of the first far size
	// leastFar: unless some row lies so many scales off, none is thought of as far
	// shifted against the others.
	leastFar = 3.5
	// Nearer than nearSeen, and far ones nearer than farSeen, shifted rows are next to
	// nothing beside honest ones.
	nearSeen, farSeen = -1.0, 2.0
	// farthest: beyond so many times two variances the density is nothing; widest:
	// distances beyond so many standard deviations are alike; ground is the density
	// of what lies beyond everything.
	farthest = 40.0
	widest   = 50.0
	ground   = 1e-12
)

// What chances there are beforehand, in units of that of no shifted rows: of few
// and of many shifted to one side, so many times as likely with far ones on the
// other side besides, and of rows shifted at one end of the trend alone. Evidence
// against rows takes the first two to be so many times as likely again: a line and
// its ranges are those of any market, but who asks for overpriced rows supposes
// that there are some. All chosen by simulation.
const (
	chanceFew    = 1.0
	chanceMany   = 0.5
	chancePartly = 0.08
	chanceBoth   = 2.0
	suspectFew   = 2.8
	suspectMany  = 5.0
)

// shifts is one way for rows to be shifted: a share of those from low to high
// along the trend (0 to 1) by one size to one side, and another share far to the
// other.
type shifts struct {
	side       int // 0 up, 1 down
	size       int // index of shiftSizes
	share, far float64
	low, high  float64
	prior      float64 // log of the chance beforehand
}

// group is a set of ways that have a line in common, and where to look for it, in
// scales off the start and in the log of the scale.
type group struct {
	ways           []shifts
	line, logScale float64
	suspect        float64 // how many times as likely it is in evidence against rows
}

// groups are: no shifted rows; few, and many, to either side; and many at one end
// of the trend alone, without which a line bent through overpriced rows among the
// largest ones would explain those best.
func groups(far [2]bool) []group {
	few, many := []float64{0.02, 0.07}, []float64{0.22}
	return []group{
		{ways: []shifts{{high: 1}}, suspect: 1},
		{everywhere(0, few, chanceFew, far[1]), -0.1, -0.1, suspectFew},
		{everywhere(1, few, chanceFew, far[0]), 0.1, -0.1, suspectFew},
		{everywhere(0, many, chanceMany, far[1]), -0.3, -0.3, suspectMany},
		{everywhere(1, many, chanceMany, far[0]), 0.3, -0.3, suspectMany},
		{ways: partly(0), suspect: 1},
		{ways: partly(1), suspect: 1},
	}
}

// everywhere are the ways with one share for all rows; far says that rows may be
// shifted far to the other side besides.
func everywhere(side int, shares []float64, chance float64, far bool) (out []shifts) {
	farShares := []float64{0.02, 0.08}
	for size, likely := range sizeChances {
		for _, share := range shares {
			s := shifts{side: side, size: size, share: share, high: 1, prior: math.Log(chance * likely / float64(len(shares)))}
			out = append(out, s)
			for _, s.far = range farShares {
				if far {
					s.prior = math.Log(chance * chanceBoth * likely / float64(len(shares)*len(farShares)))
					out = append(out, s)
				}
			}
		}
	}
	return out
}

// partly are the ways in which rows at one end are shifted, by the nearer sizes.
func partly(side int) (out []shifts) {
	cuts, shares := []float64{1.0 / 3, 1.0 / 2, 2.0 / 3}, []float64{0.25, 0.6}
	const sizes = 4
	prior := math.Log(chancePartly / float64(2*len(cuts)*len(shares)*sizes))
	for _, cut := range cuts {
		for _, share := range shares {
			for size := range sizes {
				s := shifts{side: side, size: size, share: share, prior: prior}
				s.low, s.high = cut, 1
				out = append(out, s)
				s.low, s.high = 0, cut
				out = append(out, s)
			}
		}
	}
	return out
}

// shifted writes the densities at u of rows shifted to a side by each size that is
// needed, and their derivatives, and returns those of far ones.
func shifted(u float64, side int, needed *[len(shiftSizes)]bool, near, bend *[len(shiftSizes)]float64) (far, farBend float64) {
	sign := 1.0
	if side == 1 {
		sign = -1
	}
	seen := sign*u > farSeen
	for k, size := range shiftSizes {
		near[k], bend[k] = 0, 0
		if !(needed[k] || seen && k >= farSize) || sign*u < nearSeen {
			continue
		}
		off := u - sign*size
		if e := off * off / (2 * shiftVariance[k]); e < farthest {
			near[k] = math.Exp(-e) * shiftHeight[k]
			bend[k] = -off / shiftVariance[k] * near[k]
		}
		if seen && k >= farSize {
			far += near[k] / float64(len(shiftSizes)-farSize)
			farBend += bend[k] / float64(len(shiftSizes)-farSize)
		}
	}
	for k := range near {
		near[k] = (1-strayShare)*near[k] + strayShare*far
		bend[k] = (1-strayShare)*bend[k] + strayShare*farBend
	}
	return far, farBend
}

// shiftVariance is the variance of rows shifted by each size, shiftHeight the
// greatest density.
var shiftVariance, shiftHeight = func() (v, h [len(shiftSizes)]float64) {
	for k, size := range shiftSizes {
		v[k] = 1 + shiftSpread*shiftSpread*size*size
		h[k] = 1 / math.Sqrt(2*math.Pi*v[k])
	}
	return v, h
}()
