package panel

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
)

// noiseDraw computes the statistic of sets of values.
type noiseDraw struct {
	*stepSearch
	noise  PooledNoise
	blocks []num.Series
	values []float64 // of all blocks, concatenated
	df     float64

	dates   []int     // possible dates: index in order of time of the first value at the new level
	certain []float64 // 1/information of each date
	placed  []int     // indices into values, in order of time

	cut, room []float64 // winsorised deviations; workspace for selection
	share     []float64 // share of each block at the new level
}

func (n PooledNoise) prepare(blocks []num.Series) (*noiseDraw, error) {
	base, _, err := newWithin(blocks)
	if err != nil {
		return nil, err
	}
	d := &noiseDraw{noise: n, df: float64(base.DF)}
	for _, b := range blocks {
		if num.Varies(b.T) {
			d.blocks = append(d.blocks, num.InTimeOrder(b))
			d.values = append(d.values, d.blocks[len(d.blocks)-1].Y...)
		}
	}
	d.noise.Prior = math.Max(n.Prior, n.Floor*n.Floor)
	d.stepSearch = newStepSearch(d.blocks)
	d.share = make([]float64, len(d.size))
	d.cut, d.room = make([]float64, len(d.values)), make([]float64, len(d.values))
	return d, nil
}

// zero returns deviations of 0 for every value.
func (d *noiseDraw) zero() [][]float64 {
	out := make([][]float64, len(d.blocks))
	for i, b := range d.blocks {
		out[i] = make([]float64, len(b.T))
	}
	return out
}

// draw sets P to the share of sets, the observed one included, whose statistic is
// at least t.
func (d *noiseDraw) draw(r *NoiseResult, t float64, o NoiseOptions) error {
	n := d.noise
	others := len(n.Residuals) - (n.OwnTo - n.OwnFrom)
	if others < 1 || !(n.PriorDF > 0) {
		return &num.TooFewError{What: "residuals of others", Have: others, Need: 1}
	}
	most, seed := o.drawn(), o.Seed
	if seed == 0 {
		seed = num.DefaultSeed
	}
	rng := rand.New(rand.NewPCG(seed, uint64(len(d.blocks))))
	spread := distuv.ChiSquared{K: n.PriorDF, Src: rng}
	values := make([]float64, len(d.values))
	extreme := 1
	for r.Drawn = 1; r.Drawn <= most && extreme <= noiseEnough; {
		sd := math.Sqrt(n.Prior)
		if !math.IsInf(n.PriorDF, 1) {
			sd *= math.Sqrt(n.PriorDF / spread.Rand())
		}
		for i := range values {
			at := rng.IntN(2 * others)
			v := sd
			if at >= others {
				at, v = at-others, -sd
			}
			if at >= n.OwnFrom {
				at += n.OwnTo - n.OwnFrom
			}
			values[i] = v * n.Residuals[at]
		}
		r.Drawn++
		if drawn, _, _ := d.statistic(values); drawn >= t {
			extreme++
		}
	}
	r.P = float64(extreme) / float64(r.Drawn)
	return nil
}

// statistic returns the largest squared t of a step, with the index into dates and
// the sum of the winsorised deviations from that date on.
func (d *noiseDraw) statistic(values []float64) (t float64, date int, sum float64) {
	n := d.noise
	from := 0
	for _, size := range d.size {
		v, cut := values[from:from+size], d.cut[from:from+size]
		m := num.MedianIn(d.room[:copy(d.room, v)])
		for i, y := range v {
			cut[i] = y - m
		}
		from += size
	}
	limit := noiseCut * d.scale()
	from = 0
	for _, size := range d.size {
		cut := d.cut[from : from+size]
		mean := 0.0
		for i, v := range cut {
			cut[i] = math.Max(-limit, math.Min(limit, v))
			mean += cut[i]
		}
		mean /= float64(size)
		for i := range cut {
			cut[i] -= mean
		}
		from += size
	}
	gain, at, cross := d.largest()
	variance := n.Prior
	if !math.IsInf(n.PriorDF, 1) {
		again := limit
		if n.PriorDF > 0 {
			again *= noiseCutAgain / noiseCut
		}
		variance = (n.PriorDF*n.Prior + d.about(at, cross*d.certain[at], again)) / (n.PriorDF + d.df)
	}
	if variance = math.Max(variance, n.Floor*n.Floor); gain == 0 {
		return 0, at, cross // also if the variance is 0
	}
	return gain / variance, at, cross
}

// largest finds the date whose step explains most of the winsorised deviations.
func (d *noiseDraw) largest() (gain float64, at int, cross float64) {
	gain = -1
	sum, place := 0.0, 0
	for k, date := range d.dates {
		for _, p := range d.placed[place:date] {
			sum -= d.cut[p]
		}
		place = date
		if g := sum * sum * d.certain[k]; g > gain {
			gain, at, cross = g, k, sum
		}
	}
	return gain, at, cross
}

// about returns the winsorised sum of squares about a step; winsorised, so that one
// entry error does not hide the step by inflating the variance.
func (d *noiseDraw) about(at int, step, limit float64) float64 {
	for i := range d.share {
		d.share[i] = 0
	}
	date := d.dates[at]
	for i := date; i < len(d.block); i++ {
		d.share[d.block[i]]++
	}
	for b, size := range d.size {
		d.share[b] /= float64(size)
	}
	squares := 0.0
	for i, p := range d.placed {
		b := d.block[i]
		r := d.cut[p] + step*d.share[b]
		if i >= date {
			r -= step
		}
		r = math.Max(-limit, math.Min(limit, r))
		squares += r * r
	}
	return squares
}

// scale returns the moderated scale of the deviations from the medians.
func (d *noiseDraw) scale() float64 {
	n := d.noise
	variance := n.Prior
	if !math.IsInf(n.PriorDF, 1) {
		for i, v := range d.cut {
			d.room[i] = math.Abs(v)
		}
		// The smallest deviations, one per block, are left out, since a block deviates
		// by 0 at its median. The mean of the smallest four fifths of the rest does not
		// jump on rounded values, as a median would.
		rest := d.room[len(d.room)-int(d.df)-1:]
		num.SelectRank(d.room, len(d.room)-len(rest))
		kept := (4*len(rest) + 4) / 5
		num.SelectRank(rest, kept-1)
		own := num.PlainMean(rest[:kept]) / meanOfFourFifths
		variance = (n.PriorDF*n.Prior + d.df*own*own) / (n.PriorDF + d.df)
	}
	return math.Max(math.Sqrt(variance), n.Floor)
}

// meanOfFourFifths is the mean of the smallest 80 % of the absolute values of
// standard normal deviates.
const meanOfFourFifths = 0.55861
