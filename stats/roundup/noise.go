package roundup

import (
	"math"
	"slices"

	"pleatstat/dataset"
	"pleatstat/stats/num"
)

const (
	// FewestPairs of openings of one product from which their noise is told.
	FewestPairs = 10
	// clipAt scales a difference counts no further: it is then a change of the
	// part or a slip, not noise.
	clipAt = 3.0
	// successive differences share openings: 2/3 is the efficiency of their
	// mean square (von Neumann 1941, for long series).
	pairEfficiency = 2.0 / 3
	// roundingSD of a value rounded to a step of 1: uniform over the step.
	roundingSD = 0.2886751345948129
	// clippedSD is the root of E min(|Z|, 3)² of a normal Z.
	clippedSD = 0.9974951885
)

// noiseOf estimates how much openings of one product differ in a measure (given
// on the scale of the comparison) from the differences between successive
// openings, which a drift over the years, a single step or the market's rise
// hardly touch: the mean square successive difference of von Neumann, Kent,
// Bellinson and Hart (1941), Annals of Mathematical Statistics 12, 153–162,
// with the median yearly change taken off and differences clipped at three
// robust scales.
//
// It is never below what the bench repeats or what rounding alone gives. With
// fewer than ten pairs it is the bench's repeatability alone, which leaves out
// how much the parts themselves differ; without that, unknown (NaN).
func (b *bench) noiseOf(values []float64, floor Noise) Noise {
	d, dt := b.successive(values)
	if len(d) < FewestPairs {
		floor.Pairs = len(d)
		return floor
	}
	rise := yearlyChange(d, dt)
	size := make([]float64, len(d))
	for k := range d {
		d[k] -= rise * dt[k]
		size[k] = math.Abs(d[k])
	}
	scale := num.Median(size) * 1.4826
	if scale == 0 {
		scale = math.Inf(1)
	}
	var squares float64
	for k, v := range d {
		d[k] = math.Max(-clipAt*scale, math.Min(clipAt*scale, v))
		squares += d[k] * d[k]
	}
	n := Noise{SD: math.Sqrt(squares/float64(len(d))/2) / clippedSD, DF: pairEfficiency * float64(len(d)), Pairs: len(d), Source: "openings"}
	if floor.SD > n.SD {
		n.SD = floor.SD
	}
	if !(n.SD > 0) {
		return Noise{SD: math.NaN(), Pairs: len(d)}
	}
	for _, v := range d {
		n.shapes = append(n.shapes, v/math.Sqrt2/n.SD, -v/math.Sqrt2/n.SD)
	}
	slices.Sort(n.shapes) // not the order of the file
	return n
}

// successive returns the differences between successive openings of one
// product up to the year, and the years between them.
func (b *bench) successive(values []float64) (d, years []float64) {
	for _, p := range b.products {
		last := -1
		for _, i := range p.openings {
			if math.IsNaN(values[i]) || !b.upToNow(b.rows[i]) {
				continue
			}
			if last >= 0 {
				d = append(d, values[i]-values[last])
				years = append(years, b.rows[i].when-b.rows[last].when)
			}
			last = i
		}
	}
	return d, years
}

// yearlyChange is the median change a year over pairs at least half a year
// apart; 0 with fewer than ten.
func yearlyChange(d, dt []float64) float64 {
	const apart = 0.5 // years
	var rates []float64
	for k := range d {
		if dt[k] >= apart {
			rates = append(rates, d[k]/dt[k])
		}
	}
	if len(rates) < FewestPairs {
		return 0
	}
	return num.Median(rates)
}

// benchFloor is what reading alone contributes to a recorded measure: the
// repeatability of the bench, at least that of rounding. On the log scale it is
// taken at the median.
func (b *bench) benchFloor(column string, logScale bool) Noise {
	none := Noise{SD: math.NaN()}
	inputs := dataset.Inputs(column)
	if len(inputs) != 1 { // a measure computed from several has no reading of its own
		return none
	}
	r := b.log.Repeatability(column)
	sd, df := r.SD, float64(r.DF)
	if step := b.log.Resolution(column) * roundingSD; step > 0 && !(sd > step) {
		sd = step
	}
	if df == 0 || !(sd > 0) {
		return none
	}
	if logScale {
		var v []float64
		for _, x := range b.values(column) {
			if x > 0 {
				v = append(v, x)
			}
		}
		if sd /= num.Median(v); math.IsNaN(sd) {
			return none
		}
	}
	return Noise{SD: sd, DF: df, Source: "readings"}
}
