package roundup

import (
	"math"

	"pleatstat/dataset/catalogue"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

const (
	// FewestPairs is the least number of pairs of openings of one product from
	// which their noise is estimated.
	FewestPairs = panel.FewestPairs
	// roundingSD is the standard deviation of rounding to a step of 1: 1/√12,
	// uniform over the step.
	roundingSD = 0.2886751345948129
)

// noiseOf estimates how much openings of one product differ in a measure (given
// on the scale of the comparison) from the differences between successive
// openings: see panel.SuccessiveScatter.
//
// The estimate is at least floor, the repeatability of the bench. With fewer than
// FewestPairs pairs it is floor alone, which leaves out how much the parts
// themselves differ, and NaN where floor is not known.
func (b *bench) noiseOf(values []float64, floor Noise) Noise {
	s := panel.SuccessiveScatter(b.upToYear(values))
	if s.Pairs < FewestPairs {
		floor.Pairs = s.Pairs
		return floor
	}
	n := Noise{SD: s.SD, DF: s.DF, Pairs: s.Pairs, Source: "openings", rise: s.Rise}
	if floor.SD > n.SD || math.IsNaN(n.SD) {
		n.SD = floor.SD
	}
	if !(n.SD > 0) {
		return Noise{SD: math.NaN(), Pairs: s.Pairs}
	}
	return n
}

// upToYear returns the values of each product up to the year, by date.
func (b *bench) upToYear(values []float64) []num.Series {
	out := make([]num.Series, len(b.products))
	for k, p := range b.products {
		for _, i := range p.openings {
			if !math.IsNaN(values[i]) && b.upToNow(b.rows[i]) {
				out[k].T, out[k].Y = append(out[k].T, b.rows[i].when), append(out[k].Y, values[i])
			}
		}
	}
	return out
}

// benchFloor returns the noise of reading a recorded measure: its repeatability,
// and at least that of rounding. On the log scale it is relative to the median.
// NaN where no cell holds several readings.
func (b *bench) benchFloor(column string, logScale bool) Noise {
	none := Noise{SD: math.NaN()}
	inputs := catalogue.Inputs(column)
	if len(inputs) != 1 { // a computed measure has no reading of its own
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

// differenceSD is the standard deviation of the difference of two means, of n and m
// openings, in units of the noise.
func differenceSD(n, m int) float64 { return math.Sqrt(1/float64(n) + 1/float64(m)) }
