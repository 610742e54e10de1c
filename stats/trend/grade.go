package trend

import (
	"math"

	"pleatstat/stats/outlier"
)

// The rules for grading everything compared with a trend or a usual price. Texts,
// charts and the measurement of error rates use these constants.
const (
	// LeastShare is how far off a clear or probable finding must be: a quarter
	// above, or as far below (1/LeastShare). Smaller deviations, however sure, do
	// not matter in practice.
	LeastShare = 1.25
	// FalseDiscoveryRate is the rate of false findings among those called clear or
	// probable.
	FalseDiscoveryRate = outlier.Level
	// Confidence is the level of every interval and prediction range; ByChance is
	// the share of sound values outside theirs, and the significance level of a
	// single test.
	Confidence = 0.95
	ByChance   = 1 - Confidence
	// LeastPoints is the least number of points for a line, and of products for
	// judging prices: below it the 95 % factor of Student's t exceeds 2.5 and a
	// single point can decide the slope.
	LeastPoints = 8
	// FewPoints is the number of points below which a line or a price verdict
	// comes with a warning.
	FewPoints = 20
)

// Grade is how sure a finding is, as printed.
type Grade string

const (
	Clear      Grade = "clear"       // allowing for every shape of scatter considered
	Probable   Grade = "probable"    // if sound points scatter normally
	Hint       Grade = "hint"        // outside the prediction range
	AsExpected Grade = "as expected" // inside the prediction range
	CannotSay  Grade = "cannot say"  // too little data
)

// Tail is the probability that a sound point lies so far off (p), and the same
// corrected for the number of points (q, Benjamini and Hochberg): if sound
// points scatter normally (P, Q), and with other shapes of scatter allowed for
// (PClear, QClear).
type Tail struct {
	P      float64 `json:"p"`
	Q      float64 `json:"q"`
	PClear float64 `json:"p_clear"`
	QClear float64 `json:"q_clear"`
	// PLikeliest is P under the shape of scatter that fits the points best; the q
	// of a clear finding has to hold under it as well (outlier.Evidence).
	PLikeliest float64
}

// Evidence compares one value with what is expected: everything a grade depends
// on.
type Evidence struct {
	Value    float64 // natural units, as are all of these
	Expected float64 `json:"expected"`
	Low      float64 `json:"low"` // Low to High is the 95 % prediction range
	High     float64 `json:"high"`
	Tail             // on the side the value lies on
}

// Ratio is the value divided by the expected one.
func (e Evidence) Ratio() float64 { return e.Value / e.Expected }

// Side is the position of the value: 1 = above its range, 0 = inside, -1 = below.
func (e Evidence) Side() int {
	switch {
	case e.Value > e.High:
		return 1
	case e.Value < e.Low:
		return -1
	}
	return 0
}

// Grade is the grade from this evidence alone.
func (e Evidence) Grade() Grade {
	far := e.Ratio() >= LeastShare || e.Ratio() <= 1/LeastShare
	switch {
	case far && e.QClear <= FalseDiscoveryRate:
		return Clear
	case far && e.Q <= FalseDiscoveryRate:
		return Probable
	case e.Side() != 0:
		return Hint
	}
	return AsExpected
}

// Evidence returns the one-sided evidence of point i, as used for prices.
func (t *Trend) Evidence(i int) Evidence {
	p := t.Points[i]
	e := Evidence{Value: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Tail: p.Below}
	if p.Residual > 0 {
		e.Tail = p.Above
	}
	return e
}

// tailsOf converts the model's tail probabilities on one side into tails,
// corrected over all rows. All p and q of trends are computed here or in Correct.
func tailsOf(e outlier.Evidence) []Tail {
	out := make([]Tail, len(e.Even))
	for i := range out {
		out[i] = Tail{P: e.Even[i], PLikeliest: e.Likeliest[i], PClear: e.Any[i]}
	}
	Correct(out)
	return out
}

// NoTail is the tail of a value that could not be compared: all NaN.
func NoTail() Tail {
	nan := math.NaN()
	return Tail{nan, nan, nan, nan, nan}
}
