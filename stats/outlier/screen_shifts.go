package outlier

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

const (
	// bothOdds are those of logs with rows shifted both ways, near to one side and
	// far to the other, to logs with some to one side or none: a market with
	// overpriced parts mostly has bargains too, and less would take those of a log
	// that has both for long tails.
	bothOdds = 2.0
	// shiftSpread is by how much of itself a shift varies from row to row;
	// strayShare of shifted rows are shifted by anything far.
	shiftSpread = 0.17
	strayShare  = 0.02
	// farShift is the first of the sizes that may be on the other side besides.
	farShift = 2
	// leastFar: unless some row lies this many scales off, none is thought of as
	// far shifted on the other side.
	leastFar = 3.5
	// heavier is the variance that noise with heavy tails adds to shifted rows.
	heavier = 0.3
	// farthest: the density of what lies farther is nothing.
	farthest    = 40.0
	groundLevel = 1e-12 // density of rows beyond everything
)

// shiftShares are the shares of rows that may be shifted to one side,
// shiftSizes by how many scales, evenly in logarithms; farShares are those on
// the other side besides.
var (
	shiftShares = [...]float64{0.02, 0.07, 0.22}
	farShares   = [...]float64{0.02, 0.08}
	shiftSizes  = [...]float64{2, 2.8, 3.9, 5.5, 8, 14, 30}
)

// densities of all residuals under one kind of noise, as ratios to that of clean
// rows.
type densities struct {
	s     *spread
	rows  float64
	noise noise
	near  [2][len(shiftSizes)][]float64 // shifted up, down by each size
	far   [2][]float64                  // by any of those from farShift on
	isFar [2]bool                       // whether any row up, down may be that
	logs  []float64                     // of the chances of each set of shifted rows
	best  []float64                     // the most each has been, over clean rows alone and all
	done  []bool                        // sets too unlikely to be looked at
}

func newDensities(s *spread, df float64) *densities {
	d := &densities{s: s, rows: floats.Sum(s.count), noise: newNoise(df)}
	for side := range d.near {
		for k := range shiftSizes {
			d.near[side][k] = make([]float64, len(s.r))
		}
		d.far[side] = make([]float64, len(s.r))
	}
	for _, r := range s.r {
		d.isFar[0] = d.isFar[0] || r > leastFar*s.scale
		d.isFar[1] = d.isFar[1] || r < -leastFar*s.scale
	}
	return d
}

// at is the log chance of the residuals at one scale.
func (d *densities) at(scale float64) float64 {
	// p coefficients have been fitted: they take as much of the spread away.
	clean := -(d.rows - d.s.p) * math.Log(scale)
	for i, r := range d.s.r {
		u := clip(r / scale)
		f := groundLevel
		if d.noise.normal {
			f += normalDensity(u)
		} else {
			f += d.noise.density(u)
		}
		clean += d.s.count[i] * math.Log(f)
		for side, u := range [2]float64{u, -u} {
			far := 0.0
			for k, size := range shiftSizes {
				v := d.shifted(u, size) / f
				d.near[side][k][i] = (1 - strayShare) * v
				if k >= farShift {
					far += v / float64(len(shiftSizes)-farShift)
				}
			}
			for k := range shiftSizes {
				d.near[side][k][i] += strayShare * far
			}
			d.far[side][i] = far
		}
	}
	d.logs = d.logs[:0]
	d.add(func() float64 { return 0 })
	one := -math.Log(float64(len(shiftShares) * len(shiftSizes)))
	two := one + math.Log(bothOdds/float64(len(farShares)))
	for side, near := range d.near {
		for k := range shiftSizes {
			for _, share := range shiftShares {
				d.add(func() float64 { return one + d.shiftedRows(share, near[k], 0, d.far[1-side]) })
				if !d.isFar[1-side] {
					continue
				}
				for _, far := range farShares {
					d.add(func() float64 { return two + d.shiftedRows(share, near[k], far, d.far[1-side]) })
				}
			}
		}
	}
	for k, g := range d.logs {
		d.best[k] = math.Max(d.best[k], clean+g)
	}
	return clean + floats.LogSumExp(d.logs)
}

// add appends the gain of one more set of shifted rows.
func (d *densities) add(gain func() float64) {
	k := len(d.logs)
	if k == len(d.best) {
		d.best, d.done = append(d.best, math.Inf(-1)), append(d.done, false)
	}
	if d.done[k] {
		d.logs = append(d.logs, math.Inf(-1))
		return
	}
	d.logs = append(d.logs, gain())
}

// forget leaves out from now on the sets of shifted rows that were never within
// drop of the best.
func (d *densities) forget(drop float64) {
	most := floats.Max(d.best)
	for k, b := range d.best {
		d.done[k] = b < most-drop
	}
}

// scan returns the log chance of the residuals at each scale of a grid, averaged
// over what rows may be shifted.
func (d *densities) scan(low, high, step float64) (logs, gains []float64) {
	for at := low; at <= high+step/2; at += step {
		logs = append(logs, at)
		gains = append(gains, d.at(math.Exp(at)))
	}
	return logs, gains
}

// shifted is the density at u of rows shifted up by about size.
func (d *densities) shifted(u, size float64) float64 {
	variance := 1 + shiftSpread*shiftSpread*size*size
	if !d.noise.normal {
		variance += heavier
	}
	e := (u - size) * (u - size) / (2 * variance)
	if e > farthest {
		return 0
	}
	return math.Exp(-e) / math.Sqrt(2*math.Pi*variance)
}

// shiftedRows is the log chance, over that of clean rows alone, if the given
// shares of rows have these densities near on one side and far on the other.
func (d *densities) shiftedRows(share float64, near []float64, farShare float64, far []float64) float64 {
	rest := 1 - share - farShare
	sum, product := 0.0, 1.0
	for i, v := range near {
		t := rest + share*v + farShare*far[i]
		if d.s.binned {
			sum += d.s.count[i] * math.Log(t)
			continue
		}
		product *= t
		if i%8 == 7 { // a ratio is below 1/groundLevel, eight of them below 1e96
			sum += math.Log(product)
			product = 1
		}
	}
	return sum + math.Log(product)
}
