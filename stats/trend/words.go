package trend

import (
	"math"
)

// SpanForTwice is the ratio of largest to smallest predictor from which a slope
// is reported as the effect of doubling the predictor; below it doubling lies far
// outside the log.
const SpanForTwice = 1.5

// steps are the factors reported instead: the largest inside the log is used.
var steps = []float64{1.25, 1.1, 1.05, 1.02}

// Factor is the factor of the predictor for which the effect of a slope on the
// log scale is reported: two, or else a step inside the log.
func (t *Trend) Factor() float64 {
	low, high := math.Inf(1), 0.0
	for _, p := range t.Points {
		low, high = math.Min(low, p.X), math.Max(high, p.X)
	}
	if high >= SpanForTwice*low {
		return 2
	}
	for _, f := range steps {
		if high >= f*low {
			return f
		}
	}
	return steps[len(steps)-1]
}
