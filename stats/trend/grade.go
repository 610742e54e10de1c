package trend

import (
	"math"

	"pleatstat/stats/outlier"
)

// The rules by which everything measured against a trend or a usual price is
// judged. They stand here alone: texts, charts and the harness of error rates
// take them from here.
const (
	// LeastShare is how far off a clear or probable finding must be: a quarter
	// above, or as far below (1/LeastShare). Smaller gaps, however sure, are not
	// worth an audience's time.
	LeastShare = 1.25
	// FalseDiscoveryRate is the share of false findings among those called clear
	// or probable.
	FalseDiscoveryRate = outlier.Level
	// Confidence of every range; ByChance is the share of sound values outside
	// theirs, and the p up to which a test that stands alone says something.
	Confidence = 0.95
	ByChance   = 1 - Confidence
	// LeastPoints is the fewest points a line is drawn through, and the fewest
	// products that prices are judged from: below it the 95 % factor of Student's t
	// on the spread exceeds 2.4 and one point in eight decides the slope.
	LeastPoints = 8
	// FewPoints is the count below which a line is shown, and a price judged, with
	// a word of caution.
	FewPoints = 20
)

// Grade is how sure a finding is, in the words of the output.
type Grade string

const (
	Clear      Grade = "clear"       // whatever shape honest scatter has
	Probable   Grade = "probable"    // if honest scatter is even
	Hint       Grade = "hint"        // outside its own range
	AsExpected Grade = "as expected" // inside it
	CannotSay  Grade = "cannot say"  // too little data
)

// Tail says how likely a sound point is to lie so far off, and the same corrected
// for the number of points (Benjamini and Hochberg): if honest scatter is even, and
// with the other shapes it may have counted in.
type Tail struct {
	P      float64 `json:"p"`
	Q      float64 `json:"q"`
	PClear float64 `json:"p_clear"`
	QClear float64 `json:"q_clear"`
	// PLikeliest is P under the shape of scatter that the points speak for most; Q
	// of clear findings has to hold under it as well (outlier.Evidence).
	PLikeliest float64
}

// Evidence is one value against what is expected of it: all that a grade is given
// by.
type Evidence struct {
	Value    float64 // natural units, as all of these
	Expected float64 `json:"expected"`
	Low      float64 `json:"low"` // Low to High holds 19 of 20
	High     float64 `json:"high"`
	Tail             // on the side the value lies on
}

// Ratio is the value over the expected one.
func (e Evidence) Ratio() float64 { return e.Value / e.Expected }

// Side is where the value lies to its range: 1 = above, 0 = inside, -1 = below.
func (e Evidence) Side() int {
	switch {
	case e.Value > e.High:
		return 1
	case e.Value < e.Low:
		return -1
	}
	return 0
}

// Grade is the grade by this evidence alone.
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

// Evidence of point i, one-sided: what a price is judged by.
func (t *Trend) Evidence(i int) Evidence {
	p := t.Points[i]
	e := Evidence{Value: p.Y, Expected: p.Expected, Low: p.Low, High: p.High, Tail: p.Below}
	if p.Residual > 0 {
		e.Tail = p.Above
	}
	return e
}

// tailsOf reads off the model how likely a sound row is to lie so far off on the
// side that e is about, corrected over all rows. All p and q of trends come from
// here.
func tailsOf(e outlier.Evidence) []Tail {
	out := make([]Tail, len(e.Even))
	for i := range out {
		out[i] = Tail{P: e.Even[i], PLikeliest: e.Likeliest[i], PClear: e.Any[i]}
	}
	Correct(out)
	return out
}

// NoTail is that of a value which nothing is known of.
func NoTail() Tail {
	nan := math.NaN()
	return Tail{nan, nan, nan, nan, nan}
}
