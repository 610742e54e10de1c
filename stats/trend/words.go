package trend

import (
	"math"
)

// SpanForTwice is the factor a log has to span in the predictor for its slope to be
// told as what twice the predictor goes with; below it that lies far outside.
const SpanForTwice = 1.5

// steps are the factors told instead, the largest that lies inside the log.
var steps = []float64{1.25, 1.1, 1.05, 1.02}

// Factor is the factor of the predictor by which a slope on the logarithmic scale
// is told: twice, or a step that lies inside the log.
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
