package outlier

import "math"

// shiftSizes are the sizes of a shift, in standard deviations of honest rows,
// about evenly spaced in logarithms up to 8; sizeChances are their prior
// probabilities. Smaller shifts cannot be distinguished from honest scatter, and
// larger ones are obvious.
var (
	shiftSizes  = [...]float64{2, 2.8, 3.9, 5.5, 8, 14, 30}
	sizeChances = [...]float64{0.10, 0.25, 0.25, 0.20, 0.10, 0.05, 0.05}
)

const (
	// shiftSpread is the standard deviation of a shift between rows, relative to
	// its size.
	shiftSpread = 0.17
	// strayShare is the share of shifted rows whose shift may be of any size from
	// farSize on.
	strayShare = 0.02
	farSize    = 2 // index of the first far size
	// leastFar: ways with some rows shifted far to the other side are considered
	// only if a row lies at least this many scales off on that side.
	leastFar = 3.5
	// In the direction of the shift, the density of shifted rows is taken as 0
	// below nearSeen scales, and that of far shifted rows below farSeen.
	nearSeen, farSeen = -1.0, 2.0
	// farthest: the density of shifted rows is taken as 0 beyond this value of its
	// exponent, squared distance over twice the variance. widest: larger distances
	// are treated as this many scales. ground is added to the density of honest
	// rows, so that no likelihood ratio is infinite.
	farthest = 40.0
	widest   = 50.0
	ground   = 1e-12
)

// Prior odds against no shifted rows: chanceFew and chanceMany for few and for many
// rows shifted to one side, chancePartly for rows shifted at one end of the trend
// only; chanceBoth is a further factor if some rows are shifted far to the other
// side as well. In the evidence against rows the odds of few and of many are
// multiplied by suspectFew and suspectMany: the line and its ranges should hold for
// any market, but a search for overpriced rows presupposes that there are some. All
// were chosen by simulation.
const (
	chanceFew    = 1.0
	chanceMany   = 0.5
	chancePartly = 0.08
	chanceBoth   = 2.0
	suspectFew   = 2.8
	suspectMany  = 5.0
)

// shifts is one way in which rows can be shifted: of the rows from low to high
// along the trend (0 to 1), a share by one size to one side, and a second share far
// to the other side.
type shifts struct {
	side       int // 0 up, 1 down
	size       int // index of shiftSizes
	share, far float64
	low, high  float64
	prior      float64 // log of the prior odds
}

// group is a set of ways that share a line, with the point from which to search for
// it: the constant relative to the start, in scales, and the log of the scale.
type group struct {
	ways           []shifts
	line, logScale float64
	suspect        float64 // factor on its odds in the evidence against rows
}

// groups returns the groups of ways: no shifted rows; few, and many, shifted to
// either side; and many at one end of the trend only, without which overpriced
// rows among the largest would pull the line towards themselves. far says whether
// some row lies far above, far below the start.
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

// everywhere returns the ways that shift a share of all rows; with far, also those
// that shift some rows far to the other side.
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

// partly returns the ways that shift rows at one end only, by the smaller sizes.
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

// shifted sets near and bend to the densities at u, and their derivatives, of rows
// shifted to a side by each size that is needed, and returns those of far shifted
// rows.
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
// maximum of their density.
var shiftVariance, shiftHeight = func() (v, h [len(shiftSizes)]float64) {
	for k, size := range shiftSizes {
		v[k] = 1 + shiftSpread*shiftSpread*size*size
		h[k] = 1 / math.Sqrt(2*math.Pi*v[k])
	}
	return v, h
}()
