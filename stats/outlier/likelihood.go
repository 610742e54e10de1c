package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// rows are what a trend is fitted to, in ascending order along it.
type rows struct {
	n, p  int
	z     []float64 // n × p: the design on a basis of which the columns are orthogonal and of mean square 1
	y     []float64 // less the start, in scales
	along []float64 // place along the trend, of mean 0 and variance 1; 0 where it has no direction
	scale float64   // to begin with
	floor float64   // the log of the scale, in that unit, stays above it
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

// likelihood is the one model of a market in which some prices are off: rows
// scatter about the line like a shape, as widely as the scale at their place, and
// some are shifted in one of several ways. It is averaged over those ways;
// choosing the best would take every long tail for shifted rows.
//
// Its parameters are p coefficients in the basis (in units of rows.scale), the log
// of the scale in that unit at the middle of the trend, and the growth of that log
// along it.
type likelihood struct {
	*rows
	shape    *Shape
	ways     []shifts
	from, to []int                    // of each way: the rows that may be shifted
	looked   [2]bool                  // whether any way shifts rows up, down
	needed   [2][len(shiftSizes)]bool // sizes up, down that some way shifts by
	gains    []float64                // log chance of each way; −∞ for those left out

	// Of each row: its distance in scales, the derivative of the log density of
	// honest rows, and of all; densities of shifted rows over those of honest ones,
	// and their derivatives.
	u, slope, pull []float64
	near, bend     [2][len(shiftSizes)][]float64
	far, farBend   [2][]float64
}

const (
	// growthSD: the log of the spread grows or shrinks by about so much a standard
	// deviation along the trend, beforehand; doubling from the smallest to the
	// largest is 0.2. scaleSD: the scale to begin with is about this far off, in logs.
	growthSD = 0.15
	scaleSD  = 0.5
	// floorSteep makes the floor of the scale a wall.
	floorSteep = 100.0
	// negligible: ways so far behind the likeliest one, in logs, do not count;
	// hopeless: so far behind at the start are not looked at again.
	negligible = 12.0
	hopeless   = 25.0
)

func newLikelihood(r *rows, shape *Shape, ways []shifts) *likelihood {
	l := &likelihood{rows: r, shape: shape, ways: ways, gains: make([]float64, len(ways))}
	room := make([]float64, (3+4*len(shiftSizes)+4)*r.n)
	take := func() []float64 {
		part := room[:r.n:r.n]
		room = room[r.n:]
		return part
	}
	l.slope, l.u, l.pull = take(), take(), take()
	for side := range 2 {
		l.far[side], l.farBend[side] = take(), take()
		for k := range shiftSizes {
			l.near[side][k], l.bend[side][k] = take(), take()
		}
	}
	for _, w := range ways {
		l.from, l.to = append(l.from, r.place(w.low)), append(l.to, r.place(w.high))
	}
	l.look()
	return l
}

// at returns the log of likelihood times prior at a point, and its gradient. The
// coefficients' prior is flat in scales: σ to the power p is the room they have.
func (l *likelihood) at(point, gradient []float64) float64 {
	p := l.p
	scale, growth := point[p], point[p+1]
	below := math.Max(0, l.floor-scale)
	sum := l.densities(point) - float64(l.n-p)*scale -
		growth*growth/(2*growthSD*growthSD) - scale*scale/(2*scaleSD*scaleSD) - floorSteep*below*below
	for k, w := range l.ways {
		if !math.IsInf(l.gains[k], -1) {
			l.gains[k] = w.prior + l.gain(k)
		}
	}
	total := floats.LogSumExp(l.gains)
	clear(l.pull)
	for k, gain := range l.gains {
		if gain > total-negligible {
			l.draw(k, math.Exp(gain-total))
		}
	}
	clear(gradient)
	gradient[p] = float64(p) - scale/(scaleSD*scaleSD) + 2*floorSteep*below
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
	l.look()
}

// look sets which densities the ways that are left need.
func (l *likelihood) look() {
	l.looked, l.needed = [2]bool{}, [2][len(shiftSizes)]bool{}
	for k, w := range l.ways {
		if !math.IsInf(l.gains[k], -1) && w.share > 0 {
			l.looked[w.side], l.needed[w.side][w.size] = true, true
			l.looked[1-w.side] = l.looked[1-w.side] || w.far > 0
		}
	}
}

// densities works out those of every row, and returns the log likelihood if all
// are honest, but for the scale.
func (l *likelihood) densities(point []float64) (sum float64) {
	p := l.p
	var near, bend [len(shiftSizes)]float64
	for i := range l.n {
		fit := floats.Dot(l.z[i*p:(i+1)*p], point[:p])
		u := clip((l.y[i] - fit) * math.Exp(-point[p]-point[p+1]*l.along[i]))
		log, slope := l.shape.logDensity(u)
		honest := math.Exp(log)
		f := honest + ground
		l.u[i], l.slope[i] = u, slope*honest/f
		sum += math.Log(f) - point[p+1]*l.along[i]
		for side, looked := range l.looked {
			if !looked {
				continue
			}
			far, farBend := shifted(u, side, &l.needed[side], &near, &bend)
			l.far[side][i], l.farBend[side][i] = far/f, farBend/f
			for k := range near {
				l.near[side][k][i], l.bend[side][k][i] = near[k]/f, bend[k]/f
			}
		}
	}
	return sum
}

// clip holds a distance within the widest.
func clip(u float64) float64 { return math.Max(-widest, math.Min(widest, u)) }

// gain is the log chance of the rows if shifted in way k over that if none is.
func (l *likelihood) gain(k int) float64 {
	w := &l.ways[k]
	if w.share == 0 {
		return 0
	}
	near, far := l.near[w.side][w.size], l.far[1-w.side]
	rest := 1 - w.share - w.far
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

// draw adds to each row's pull what way k, of the given chance, says of it.
func (l *likelihood) draw(k int, chance float64) {
	w := &l.ways[k]
	near, bend, far, farBend := l.near[w.side][w.size], l.bend[w.side][w.size], l.far[1-w.side], l.farBend[1-w.side]
	rest := 1 - w.share - w.far
	for i, slope := range l.slope {
		if w.share == 0 || i < l.from[k] || i >= l.to[k] {
			l.pull[i] += chance * slope
			continue
		}
		c := chance / (rest + w.share*near[i] + w.far*far[i])
		l.pull[i] += c * (rest*slope + w.share*bend[i] + w.far*farBend[i])
	}
}
