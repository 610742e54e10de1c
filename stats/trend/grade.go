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
	FalseDiscoveryRate = 0.05
	// Confidence of every range.
	Confidence = 0.95
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
	P, Q           float64
	PClear, QClear float64
}

// Evidence is one value against what is expected of it: all that a grade is given
// by.
type Evidence struct {
	Value, Expected, Low, High float64 // natural units; Low to High holds 19 of 20
	Tail                               // on the side the value lies on
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

// tails reads off the outlier test how likely a sound row is to lie as far above
// the line as row i, as far below, and as far off on either side. All p and q of
// trends come from here.
func tails(s *outlier.Screened, i int) (above, below, either Tail) {
	even, long := s.Verdicts, s.LongTailed
	of := func(p, q, longP, longQ []float64) Tail {
		count := func(v, long float64) float64 {
			return math.Max(v, outlier.CountingLongTails(v, long, s.LongTailChance))
		}
		return Tail{P: p[i], Q: q[i], PClear: count(p[i], longP[i]), QClear: count(q[i], longQ[i])}
	}
	return of(even.PHigh, even.QHigh, long.PHigh, long.QHigh), of(even.PLow, even.QLow, long.PLow, long.QLow),
		of(even.PTwo, even.QTwo, long.PTwo, long.QTwo)
}

// NoTail is that of a value which nothing is known of.
func NoTail() Tail {
	nan := math.NaN()
	return Tail{nan, nan, nan, nan}
}
