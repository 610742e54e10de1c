package outlier

import "math"

// Rows off the line are thought of as shifted up or down by about one of these
// numbers of standard deviations of honest rows, evenly in logarithms. Nearer
// ones can't be told from honest rows, farther ones need no telling.
var shiftSizes = [...]float64{2, 2.8, 3.9, 5.5, 8, 14, 30}

const (
	// shiftSpread is by how much of itself a shift varies from row to row, and
	// heavier the variance that long tails add to shifted rows.
	shiftSpread = 0.17
	// strayShare of shifted rows are shifted by anything far, farSize and more.
	strayShare = 0.02
	farSize    = 2 // index of the first far size
	// farthest: beyond so many times two variances the density is nothing.
	farthest = 40.0
	// widest: distances beyond so many standard deviations are alike.
	widest = 50.0
	// ground is the density of what lies beyond everything.
	ground = 1e-12
)

// shifts is one way for rows to be shifted: a share of those from low to high
// along the trend (0 to 1) by one size to one side, and another share of all rows
// far to the other.
type shifts struct {
	side       int // 0 up, 1 down
	size       int // index of shiftSizes
	share, far float64
	low, high  float64
	prior      float64 // log of the chance beforehand
}

// everywhere are the ways with one share for all rows; with far ones on the other
// side besides where any row lies so far there.
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

// sizeChances are those of the sizes beforehand.
var sizeChances = [len(shiftSizes)]float64{0.10, 0.25, 0.25, 0.20, 0.10, 0.05, 0.05}

// group is a set of ways with a line of its own: where to look for it, in scales
// off the start and in the log of the scale.
type group struct {
	ways           []shifts
	line, logScale float64
}

// groups are: no shifted rows; few; many, to either side; many at one end of
// the trend alone, without which a line through overpriced rows among the largest
// ones would explain those best.
func groups(far [2]bool) []group {
	few, many := []float64{0.02, 0.07}, []float64{0.22}
	return []group{
		{ways: []shifts{{high: 1}}},
		{everywhere(0, few, chanceFew, far[1]), -0.1, -0.1},
		{everywhere(1, few, chanceFew, far[0]), 0.1, -0.1},
		{everywhere(0, many, chanceMany, far[1]), -0.3, -0.3},
		{everywhere(1, many, chanceMany, far[0]), 0.3, -0.3},
		{ways: partly(0)},
		{ways: partly(1)},
	}
}

func partly(side int) []shifts {
	cuts, shares := []float64{1.0 / 3, 1.0 / 2, 2.0 / 3}, []float64{0.25, 0.6}
	const sizes = 4
	prior := math.Log(chancePartly / float64(2*len(cuts)*len(shares)*sizes))
	var out []shifts
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

// What chances there are beforehand, in units of that of no shifted rows: of few
// and of many shifted to one side, so many times as likely with far ones on the
// other besides, and of rows shifted at one end alone.
const (
	chanceFew    = 1.0
	chanceMany   = 0.5
	chancePartly = 0.1
	chanceBoth   = 2.0
)

// leastFar: unless some row lies so many scales off, none is thought of as far
// shifted besides.
const leastFar = 3.5

// shifted returns the density at u of rows shifted by a size to a side, and its
// derivative.
func shifted(u float64, side, size int) (density, slope float64) {
	at := shiftSizes[size]
	if side == 1 {
		at = -at
	}
	variance := 1 + shiftSpread*shiftSpread*at*at
	off := u - at
	e := off * off / (2 * variance)
	if e > farthest {
		return 0, 0
	}
	density = math.Exp(-e) / math.Sqrt(2*math.Pi*variance)
	return density, -off / variance * density
}
