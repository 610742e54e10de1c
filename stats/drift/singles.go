package drift

import (
	"math"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

const (
	// minForSize is the least number of products for a size trend, and minSingles
	// the least number of parts opened once for a line on time.
	minForSize = 8
	minSingles = 6
)

// singles sets the trend over time of the parts a maker had opened once, after
// removing the size trend, since a maker's new parts may simply be smaller. It is
// weaker evidence than openings of the same part: all other differences between
// parts remain in the residual.
func singles(o *openings, m *measure, makers []*candidate) {
	var size []float64
	for _, name := range m.sizes {
		if name == m.name {
			continue
		}
		if values := o.sizes[name](); values != nil && sized(o, makers, values) {
			size = values
			break
		}
	}
	if size == nil {
		return
	}
	// The size trend has one level per maker, so that a maker of heavy cans who
	// makes large ones does not tilt it.
	trend := make([]num.Series, len(makers))
	for i, k := range makers {
		for _, b := range append(k.blocks[:len(k.blocks):len(k.blocks)], k.once...) {
			if s := o.sizeOf(b, size); !math.IsNaN(s) {
				trend[i].T = append(trend[i].T, s)
				trend[i].Y = append(trend[i].Y, k.mean(b))
			}
		}
	}
	line, err := panel.RobustFixedEffects(trend, panel.FixedEffectsOptions{})
	if err != nil {
		return // too few products of different sizes
	}
	for _, k := range makers {
		var s num.Series
		for _, b := range k.once {
			if x := o.sizeOf(b, size); !math.IsNaN(x) && !k.noMarket {
				s.T = append(s.T, b.series.T[0])
				s.Y = append(s.Y, k.mean(b)-line.Slope*x)
			}
		}
		k.SinglesN = len(s.T)
		if len(s.T) < minSingles {
			continue
		}
		f, err := panel.RobustFixedEffects([]num.Series{s}, panel.FixedEffectsOptions{Floor: k.floor})
		if err != nil || math.IsInf(f.SE, 0) {
			continue // all opened at one time
		}
		low, high := f.Interval(confidence)
		unit := k.typical()
		k.SinglesSlope, k.SinglesLow, k.SinglesHigh = f.Slope*unit, low*unit, high*unit
		k.combine(f.Slope, f.SE)
	}
}

// typical returns the size of one unit of the fit's scale in the entry's unit,
// also where no part was opened again.
func (k *candidate) typical() float64 {
	if k.m.scale != proportional || k.Blocks > 0 {
		return k.unit
	}
	var logs []float64
	for _, b := range k.once {
		logs = append(logs, b.series.Y...)
	}
	return math.Exp(num.Mean(logs))
}

// combine averages the two lines, weighted by precision, where they agree.
func (k *candidate) combine(slope, se float64) {
	if math.IsNaN(k.PerYear) || !(k.se > 0) || !(se > 0) ||
		k.PerYear*slope <= 0 || k.SinglesLow > k.High || k.SinglesHigh < k.Low {
		return
	}
	own, other := 1/(k.se*k.se), 1/(se*se)
	mean := (own*k.PerYear/k.unit + other*slope) / (own + other)
	half := num.StudentQuantile(math.Min(k.seDF, float64(k.SinglesN-2)), confidence) / math.Sqrt(own+other)
	k.CombinedPerYear, k.CombinedLow, k.CombinedHigh = mean*k.unit, (mean-half)*k.unit, (mean+half)*k.unit
}

// mean returns a part's mean on the scale of the fit, after removing the market.
func (k *candidate) mean(b block) float64 {
	sum := 0.0
	for i, y := range b.series.Y {
		sum += y - k.market.At(b.series.T[i])
	}
	return sum / float64(len(b.series.Y))
}

// sizeOf returns the mean log size of a part; NaN where it was not measured.
func (o *openings) sizeOf(b block, size []float64) float64 {
	sum, n := 0.0, 0.0
	for _, at := range b.at {
		if v := size[at]; v == v {
			sum, n = sum+v, n+1
		}
	}
	return sum / n // NaN for 0/0
}

// sized reports whether enough products have a size.
func sized(o *openings, makers []*candidate, size []float64) bool {
	n := 0
	for _, k := range makers {
		for _, b := range append(k.blocks[:len(k.blocks):len(k.blocks)], k.once...) {
			if !math.IsNaN(o.sizeOf(b, size)) {
				if n++; n == minForSize {
					return true
				}
			}
		}
	}
	return false
}
