package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// rows are the data that a trend is fitted to, in ascending order along it.
type rows struct {
	n, p  int
	z     []float64 // n × p: the design in a basis of orthogonal columns of mean square 1
	y     []float64 // response less the start, in units of scale
	along []float64 // place along the trend, standardised; all 0 if the trend has no direction
	scale float64   // that of the start
	floor float64   // lower limit of the log of the fitted scale in units of scale
}

// place returns the row at the given share (0 to 1) of the rows along the trend,
// moved down so that rows at the same place stay together.
func (r *rows) place(share float64) int {
	k := int(math.Round(share * float64(r.n)))
	for 0 < k && k < r.n && r.along[k] == r.along[k-1] {
		k--
	}
	return k
}

// likelihood is the likelihood of rows that scatter about the line with the
// distribution shape and the scale at their place, some of them shifted in one of
// several ways. It is averaged over the ways, since choosing the best would explain
// every long tail by shifted rows.
//
// Its parameters are p coefficients of the basis (in units of rows.scale), the log
// of the scale at the middle of the trend (in the same unit), and the growth of
// that log per standard deviation along the trend.
type likelihood struct {
	*rows
	shape    *Shape
	ways     []shifts
	from, to []int                    // for each way, the rows that may be shifted
	looked   [2]bool                  // whether any way shifts rows up, down
	needed   [2][len(shiftSizes)]bool // the sizes by which some way shifts rows up, down
	gains    []float64                // log of prior × likelihood ratio of each way; −∞ if left out

	// For each row: u, its distance from the line in scales; slope, the derivative
	// of the log density of honest rows; pull, that of the mixture; near and far, the
	// densities of shifted rows over that of honest ones; bend and farBend, the
	// derivatives of those densities over that of honest rows.
	u, slope, pull []float64
	near, bend     [2][len(shiftSizes)][]float64
	far, farBend   [2][]float64
}

const (
	// growthSD is the prior standard deviation of the growth of the log spread, per
	// standard deviation along the trend; a spread that doubles from the smallest to
	// the largest row has a growth of about 0.2. scaleSD is the prior standard
	// deviation of the log of the scale about that of the start.
	growthSD = 0.15
	scaleSD  = 0.5
	// floorSteep is the factor of the penalty on the squared distance of the log
	// scale below its floor.
	floorSteep = 100.0
	// negligible: ways whose log probability is below minus this are left out of
	// the gradient; hopeless: ways this far behind the likeliest at the start are
	// not evaluated again.
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

// at returns the log of likelihood times prior at a point, and sets its gradient.
// The coefficients have a flat prior. The factor σ^p, the volume that it leaves
// them, is included so that the maximum over the scale σ is that of the likelihood
// integrated over the coefficients, with n-p degrees of freedom.
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

// forget leaves out the ways that were hopeless at the last evaluation.
func (l *likelihood) forget() {
	most := floats.Max(l.gains)
	for k, gain := range l.gains {
		if gain < most-hopeless {
			l.gains[k] = math.Inf(-1)
		}
	}
	l.look()
}

// look sets looked and needed for the ways that are left.
func (l *likelihood) look() {
	l.looked, l.needed = [2]bool{}, [2][len(shiftSizes)]bool{}
	for k, w := range l.ways {
		if !math.IsInf(l.gains[k], -1) && w.share > 0 {
			l.looked[w.side], l.needed[w.side][w.size] = true, true
			l.looked[1-w.side] = l.looked[1-w.side] || w.far > 0
		}
	}
}

// densities computes the densities and derivatives of every row. It returns the
// log likelihood if all rows are honest, without the term of the scale at the
// middle of the trend.
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

// clip limits a distance to ±widest.
func clip(u float64) float64 { return math.Max(-widest, math.Min(widest, u)) }

// gain returns the log likelihood ratio of the rows being shifted in way k against
// none being shifted.
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
		if i%8 == 7 { // a ratio is below 1/ground, so eight factors stay below 1e96
			sum += math.Log(product)
			product = 1
		}
	}
	return sum + math.Log(product)
}

// draw adds to each row's pull the derivative under way k, weighted by the
// probability of that way.
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
