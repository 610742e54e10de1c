package stats

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// What clean rows scatter like is weighed by Bayes' rule: every noise, every
// scale and every likely set of rows shifted off the line gets the chance that
// the residuals leave it. Averaging over the shifted rows instead of choosing
// those that fit best is what keeps a long tail of honest prices from passing
// for a few overpriced parts (the best of many explanations always fits well).

// noiseKinds are the kinds of noise by their degrees of freedom: normal noise
// and heavy tails are equally likely beforehand.
var noiseKinds = [...]struct{ df, prior float64 }{
	{math.Inf(1), 2.0 / 3},
	{7, 1.0 / 6},
	{4, 1.0 / 6},
}

const (
	// bothOdds are those of logs with rows shifted both ways; no shifted rows,
	// some upwards and some downwards are equally likely.
	bothOdds = 1.0
	// shiftSpread is by how much of itself a shift varies from row to row;
	// strayShare of shifted rows are shifted by anything.
	shiftSpread = 0.17
	strayShare  = 0.02
)

// shiftShares are the shares of rows that may be shifted, shiftSizes by how many
// scales; those from farShift on may be on the other side besides.
var (
	shiftShares = [...]float64{0.02, 0.07, 0.22}
	farShares   = [...]float64{0.02, 0.08}
	shiftSizes  = [...]float64{2, 2.8, 3.9, 5.5, 8, 14, 30}
)

const (
	farShift = 2 // index
	// The scale is looked for on a grid of logarithms, this far about the guess.
	scaleBelow, scaleAbove, scaleStep = 0.6, 0.6, 0.06
	// stepsPerSD: a grid as fine as this share of what the scale is known to
	// leaves nothing out.
	stepsPerSD = 0.9
	// negligible log chances are left out.
	negligible = 16.0
	// leastChance of a scale that is kept.
	leastChance = 1e-5
	groundLevel = 1e-12 // density of rows beyond everything
	// More than coarseAbove residuals are weighed in bins of coarseWidth scales.
	coarseAbove = 500
	coarseWidth = 0.05
	// leastFar: unless some row lies this many scales off, none is thought of as
	// far shifted on the other side.
	leastFar = 3.5
	// heavier is the variance that noise with heavy tails adds to shifted rows.
	heavier = 0.3
	// farthest: the density of what lies farther is nothing.
	farthest = 40.0
)

// weighing is what the residuals say of one kind of noise.
type weighing struct {
	df       float64
	evidence float64   // log of the chance of the residuals, but for a constant
	scales   []float64 // on a grid
	chances  []float64 // of each scale; they add up to one
}

// weigh returns the weighing of every kind of noise.
func weigh(s *spread) []weighing {
	if !s.binned && len(s.r) > coarseAbove {
		c := *s
		c.binned = true
		c.r, c.count = bins(s.r, s.scale, coarseWidth)
		s = &c
	}
	out := make([]weighing, 0, len(noiseKinds))
	most := math.Inf(-1)
	for _, kind := range noiseKinds {
		w := s.weighOne(kind.df, most)
		w.evidence += math.Log(kind.prior)
		most = math.Max(most, w.evidence)
		out = append(out, w)
	}
	return out
}

// weighOne weighs one kind of noise, as finely as it takes unless it is far less
// likely than the most likely so far.
func (s *spread) weighOne(df, most float64) weighing {
	sd := 1 / math.Sqrt(2*math.Max(1, floats.Sum(s.count)-s.p))
	least := math.Log(s.least)
	low, high := math.Log(s.scale)-scaleBelow, math.Log(s.scale)+scaleAbove
	step := math.Max(scaleStep, math.Min(stepsPerSD*sd, 2*scaleStep))
	d := newDensities(s, df)
	for {
		logs, gains := d.scan(math.Max(low, least), high, step)
		// Between two grid points the peak may be higher by about this much.
		hidden := step * step / (8 * sd * sd)
		if step <= stepsPerSD*sd || floats.Max(gains)+hidden < most-2*negligible {
			return settle(df, logs, gains, step)
		}
		low, high = around(logs, gains, negligible+2*hidden, step)
		d.forget(2*negligible + 4*hidden)
		step = math.Max(stepsPerSD*sd, step/4)
	}
}

// around is the part of a grid within drop of its peak and a step to each side.
func around(logs, gains []float64, drop, step float64) (low, high float64) {
	peak := floats.Max(gains)
	low, high = math.Inf(1), math.Inf(-1)
	for i, g := range gains {
		if g >= peak-drop {
			low, high = math.Min(low, logs[i]-step), math.Max(high, logs[i]+step)
		}
	}
	return low, high
}

// settle turns gains on a grid into chances.
func settle(df float64, logs, gains []float64, step float64) weighing {
	w := weighing{df: df, evidence: floats.LogSumExp(gains) + math.Log(step)}
	total := 0.0
	for i, g := range gains {
		if c := math.Exp(g + math.Log(step) - w.evidence); c >= leastChance {
			w.scales, w.chances = append(w.scales, math.Exp(logs[i])), append(w.chances, c)
			total += c
		}
	}
	floats.Scale(1/total, w.chances)
	return w
}

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
				d.add(func() float64 { return one + d.shiftedRows(share, near[k]) })
				if !d.isFar[1-side] {
					continue
				}
				for _, far := range farShares {
					d.add(func() float64 { return two + d.shiftedBothWays(share, near[k], far, d.far[1-side]) })
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
// share of rows has these densities.
func (d *densities) shiftedRows(share float64, near []float64) float64 {
	if d.s.binned {
		sum := 0.0
		for i, v := range near {
			sum += d.s.count[i] * math.Log1p(share*(v-1))
		}
		return sum
	}
	sum, product := 0.0, 1.0
	for i, v := range near {
		product *= 1 - share + share*v
		if i%8 == 7 { // a ratio is below 1/groundLevel, eight of them below 1e96
			sum += math.Log(product)
			product = 1
		}
	}
	return sum + math.Log(product)
}

// shiftedBothWays is shiftedRows with another share on the other side.
func (d *densities) shiftedBothWays(share float64, near []float64, farShare float64, far []float64) float64 {
	rest := 1 - share - farShare
	if d.s.binned {
		sum := 0.0
		for i, v := range near {
			sum += d.s.count[i] * math.Log(rest+share*v+farShare*far[i])
		}
		return sum
	}
	sum, product := 0.0, 1.0
	for i, v := range near {
		product *= rest + share*v + farShare*far[i]
		if i%8 == 7 {
			sum += math.Log(product)
			product = 1
		}
	}
	return sum + math.Log(product)
}

// likelyNoise is the noise that the residuals make likeliest, as the distribution
// of a new clean residual.
func likelyNoise(s *spread) *tailModel {
	all := weigh(s)
	best := all[0]
	for _, w := range all[1:] {
		if w.evidence > best.evidence {
			best = w
		}
	}
	t, rows := &tailModel{df: best.df}, floats.Sum(s.count)
	for i, scale := range best.scales {
		t.parts = append(t.parts, tailPart{weight: best.chances[i], scale: scale * (1 + scaleBias*s.p/rows), df: best.df})
	}
	return t
}
