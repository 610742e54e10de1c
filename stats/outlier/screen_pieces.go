package outlier

import "math"

// Rows off the line are thought of as shifted from it by these scales, in shares
// that the data decide (a nonparametric maximum likelihood estimate on a grid: J.
// Kiefer and J. Wolfowitz (1956), Ann. Math. Stat. 27, 887-906). Nearer ones
// cannot be told from the noise. Sizes up to 5.25 are an even grid; farther ones
// scatter as widely as the grid is coarse there.
var pieceSizes = [...]float64{2.25, 3, 3.75, 4.5, 5.25, 6.75, 9, 13, 20, 30}

const (
	firstSize = 2.25
	sizeStep  = 0.75
	// Sizes from firstFar on are far: rows may be shifted by them against the near
	// side, while nearer ones to both sides look like heavy tails. They are looked
	// at from farSeen scales on, nearer the line they add nothing.
	firstFar = 5
	farSeen  = 2.0
	// wideFrom: shifts beyond these scales scatter.
	wideFrom = 5.5
	// pieceGround is the density of rows beyond everything, leastRest the least
	// share of clean rows.
	pieceGround = 1e-9
	leastRest   = 1e-6
)

// pieceVariance is the variance of rows shifted by each size, in squared scales.
var pieceVariance, pieceHeight = func() (v, h [len(pieceSizes)]float64) {
	for k, g := range pieceSizes {
		v[k] = math.Max(1, g*g/(wideFrom*wideFrom))
		h[k] = 1 / math.Sqrt(v[k])
	}
	return v, h
}()

// The steps of the densities on the even grid: φ(u-g) = φ(u)·exp(u·g - g²/2), and
// φ(u-g-s)/φ(u-g) = exp(s·(u-g) - s²/2).
var (
	sizeFirst = math.Exp(-firstSize * firstSize / 2)
	sizeRatio = math.Exp(-sizeStep * (firstSize + sizeStep/2))
	sizeFade  = math.Exp(-sizeStep * sizeStep)
)

// chances are those of one row.
type chances struct {
	clean  float64                  // of being clean
	near   float64                  // of being shifted to the near side
	toNear [len(pieceSizes)]float64 // by each size
	toFar  [len(pieceSizes)]float64 // to the other side, the one where the row lies
	isNear int                      // sizes of toNear that are filled in
	isFar  bool                     // whether toFar is
	total  float64                  // density of the row, but for a constant
}

// at fills in the chances of row i and returns its residual in scales.
func (m *described) at(i int, c *chances) (u float64) {
	u = clip(m.r[i] / m.scale)
	central := math.Exp(-u * u / 2)
	c.near, c.isNear, c.isFar = 0, 0, false
	total := pieceGround
	share := 0.0
	if m.near != noSide {
		share = m.share[m.partOf(i)]
		v := toward(m.near, u)
		sizes := &m.sizes[m.near]
		reach := math.Exp(sizeStep * v)
		density := share * central * math.Exp(firstSize*v) * sizeFirst
		ratio := reach * sizeRatio
		for k := range firstFar {
			f := sizes[k] * density
			c.toNear[k] = f
			c.near += f
			density *= ratio
			ratio *= sizeFade
		}
		c.isNear = firstFar
		if v > farSeen {
			c.isNear = len(pieceSizes)
			c.near += fartherDensities(v, share, sizes, &c.toNear)
		}
		total += c.near
	}
	if side := sideOf(u); side != m.near && m.far > 0 && math.Abs(u) > farSeen {
		c.isFar = true
		total += fartherDensities(math.Abs(u), 1, &m.sizes[side], &c.toFar)
	}
	c.clean = math.Max(1-share-m.far, leastRest) * central
	total += c.clean
	c.clean /= total
	c.near /= total
	for k := range c.isNear {
		c.toNear[k] /= total
	}
	if c.isFar {
		for k := firstFar; k < len(pieceSizes); k++ {
			c.toFar[k] /= total
		}
	}
	c.total = total
	return u
}

// fartherDensities writes the densities at v of rows shifted far, and returns
// their sum.
func fartherDensities(v, share float64, sizes, to *[len(pieceSizes)]float64) (sum float64) {
	for k := firstFar; k < len(pieceSizes); k++ {
		off := v - pieceSizes[k]
		f := 0.0
		if e := off * off / (2 * pieceVariance[k]); e < farthest && sizes[k] > 0 {
			f = share * sizes[k] * pieceHeight[k] * math.Exp(-e)
		}
		to[k] = f
		sum += f
	}
	return sum
}

// sideOf is 0 above the line and 1 below.
func sideOf(u float64) int {
	if u < 0 {
		return 1
	}
	return 0
}

// toward is v seen from its side: turned round for the one below.
func toward(side int, v float64) float64 {
	if side == 1 {
		return -v
	}
	return v
}
