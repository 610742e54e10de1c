package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// rows are what a trend is fitted to, in ascending order along it.
type rows struct {
	n, p  int
	z     []float64 // n × p: the design on a basis of which the columns are orthogonal and of mean square 1
	y     []float64
	along []float64 // place along the trend, of mean 0 and variance 1; 0 where it has no direction
	scale float64   // unit of residuals: the scale to begin with
	least float64   // the log of the scale may not fall below this, in that unit
}

// place is the row at which a share of the way along the trend is reached; rows
// at one place stay together.
func (r *rows) place(share float64) int {
	k := int(math.Round(share * float64(r.n)))
	for 0 < k && k < r.n && r.along[k] == r.along[k-1] {
		k--
	}
	return k
}

// A point of the parameter space: p coefficients in the basis (in units of
// rows.scale), the log of the scale in that unit, and the growth of that log
// along the trend.
//
// likelihood is the one model of a market in which some prices are off: rows
// scatter about the line like a shape, as widely as the scale at their place, and
// some are shifted in one of several ways. What it gives is averaged over those
// ways; choosing the best would take every long tail for shifted rows.
type likelihood struct {
	*rows
	shape *Shape
	ways  []shifts
	from  []int // of each way: the rows from here
	to    []int // to here may be shifted

	// Of each row: density of honest rows, slope of its log; densities of shifted
	// rows over it, and their slopes.
	density, slope []float64
	near, bend     [2][len(shiftSizes)][]float64
	far, farBend   [2][]float64
	looked         [2]bool   // whether any way shifts rows up, down
	gains          []float64 // log chance of each way
	u, pull, clean []float64
}

const (
	// growthSD: the spread grows or shrinks along the trend by about so much a
	// standard deviation of the place, beforehand; doubling from the smallest to
	// the largest is 0.2. scaleSD: the log of the scale to begin with is about
	// this far off.
	scaleSD = 0.5
	// negligible: ways so far behind the likeliest one, in logs, do not count.
	negligible = 12.0
	// hopeless: ways this far behind at the start are not looked at again.
	hopeless = 25.0
)

var growthSD = 0.15

func newLikelihood(r *rows, shape *Shape, ways []shifts) *likelihood {
	l := &likelihood{rows: r, shape: shape, ways: ways, gains: make([]float64, len(ways))}
	room := make([]float64, (5+4*len(shiftSizes)+4)*r.n)
	take := func() []float64 {
		part := room[:r.n:r.n]
		room = room[r.n:]
		return part
	}
	l.density, l.slope, l.u, l.pull, l.clean = take(), take(), take(), take(), take()
	for side := range 2 {
		l.far[side], l.farBend[side] = take(), take()
		for k := range shiftSizes {
			l.near[side][k], l.bend[side][k] = take(), take()
		}
	}
	for _, w := range ways {
		l.from, l.to = append(l.from, r.place(w.low)), append(l.to, r.place(w.high))
		l.looked[w.side] = l.looked[w.side] || w.share > 0
		l.looked[1-w.side] = l.looked[1-w.side] || w.far > 0
	}
	return l
}

// at returns the log of likelihood times prior at a point, in units that make all
// coefficients flat (the scale to the power p is the room they have), and writes
// its gradient; clean is then each row's chance to be honest.
func (l *likelihood) at(point, gradient []float64) float64 {
	p := l.p
	scale, growth := point[p], point[p+1]
	sum := l.densities(point)
	sum -= float64(l.n-p)*scale + growth*growth/(2*growthSD*growthSD) + scale*scale/(2*scaleSD*scaleSD)
	for k, w := range l.ways {
		if l.gains[k] > math.Inf(-1) {
			l.gains[k] = w.prior + l.gain(k)
		}
	}
	total := floats.LogSumExp(l.gains)
	clear(l.clean)
	clear(l.pull)
	for k := range l.ways {
		if chance := math.Exp(l.gains[k] - total); chance > math.Exp(-negligible) {
			l.share(k, chance)
		}
	}
	clear(gradient)
	gradient[p] = float64(p) - scale/(scaleSD*scaleSD)
	gradient[p+1] = -growth / (growthSD * growthSD)
	for i, pull := range l.pull {
		moved := -pull * math.Exp(-scale-growth*l.along[i])
		for j, z := range l.z[i*p : (i+1)*p] {
			gradient[j] += moved * z
		}
		spread := -pull*l.u[i] - 1
		gradient[p] += spread
		gradient[p+1] += spread * l.along[i]
	}
	return sum + total
}

// forget leaves out ways that are hopeless where the likelihood was last taken.
func (l *likelihood) forget() {
	most := floats.Max(l.gains)
	for k, gain := range l.gains {
		if gain < most-hopeless {
			l.gains[k] = math.Inf(-1)
		}
	}
}

// densities works out those of every row, and returns the log likelihood if all
// are honest, but for the scale.
func (l *likelihood) densities(point []float64) (sum float64) {
	p := l.p
	for i := range l.n {
		fit := 0.0
		for j, z := range l.z[i*p : (i+1)*p] {
			fit += z * point[j]
		}
		u := (l.y[i] - fit) * math.Exp(-point[p]-point[p+1]*l.along[i])
		u = math.Max(-widest, math.Min(widest, u))
		l.u[i] = u
		log, slope := l.shape.logDensity(u)
		honest := math.Exp(log)
		f := honest + ground
		l.density[i], l.slope[i] = f, slope*honest/f
		sum += math.Log(f) - point[p+1]*l.along[i]
		for side := range 2 {
			far, farBend := 0.0, 0.0
			if l.looked[side] && (u > -1 == (side == 0) || math.Abs(u) < 1) {
				for k := range shiftSizes {
					d, b := shifted(u, side, k)
					l.near[side][k][i], l.bend[side][k][i] = (1-strayShare)*d/f, (1-strayShare)*b/f
					if k >= farSize {
						far += d / f / float64(len(shiftSizes)-farSize)
						farBend += b / f / float64(len(shiftSizes)-farSize)
					}
				}
				for k := range shiftSizes {
					l.near[side][k][i] += strayShare * far
					l.bend[side][k][i] += strayShare * farBend
				}
			} else {
				for k := range shiftSizes {
					l.near[side][k][i], l.bend[side][k][i] = 0, 0
				}
			}
			l.far[side][i], l.farBend[side][i] = far, farBend
		}
	}
	return sum
}

// gain is the log chance of the rows if shifted in way k over that if none is.
func (l *likelihood) gain(k int) float64 {
	w := &l.ways[k]
	near, far := l.near[w.side][w.size], l.far[1-w.side]
	rest := 1 - w.share - w.far
	if w.share == 0 {
		return 0
	}
	sum, product := 0.0, 1.0
	for i := l.from[k]; i < l.to[k]; i++ {
		product *= rest + w.share*near[i] + w.far*far[i]
		if i%8 == 7 { // a ratio is below 1/ground, eight of them below 1e96
			sum += math.Log(product)
			product = 1
		}
	}
	return sum + math.Log(product)
}

// share adds to each row what way k, of the given chance, says of it.
func (l *likelihood) share(k int, chance float64) {
	w := &l.ways[k]
	near, bend, far, farBend := l.near[w.side][w.size], l.bend[w.side][w.size], l.far[1-w.side], l.farBend[1-w.side]
	rest := 1 - w.share - w.far
	for i := range l.n {
		if w.share == 0 || i < l.from[k] || i >= l.to[k] {
			l.clean[i] += chance
			l.pull[i] += chance * l.slope[i]
			continue
		}
		c := chance / (rest + w.share*near[i] + w.far*far[i])
		l.clean[i] += c * rest
		l.pull[i] += c * (rest*l.slope[i] + w.share*bend[i] + w.far*farBend[i])
	}
}
