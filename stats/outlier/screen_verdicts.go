package outlier

import (
	"math"

	"pleatstat/stats/num"
)

// Verdicts say of every row how likely a clean one is to lie so far off. All
// have length n.
type Verdicts struct {
	PHigh, PLow []float64 // one-sided p of lying above, below the fit
	PTwo        []float64 // two-sided p
	QHigh, QLow []float64 // the same, adjusted over all rows (Benjamini–Hochberg)
	QTwo        []float64
}

// CountingLongTails is a q with the chance of long tails counted in, q being that
// under the likeliest noise and long that under long-tailed noise. Each bounds the
// share of false discoveries under its noise; so does the average on average over
// the noises.
func CountingLongTails(q, long, chance float64) float64 { return (1-chance)*q + chance*long }

// judge fills the studentised residuals and both sets of verdicts.
func (s *Screened) judge() (err error) {
	u := make([]float64, len(s.Residual)) // residuals free of the row's share in the variance of the line
	s.Studentised = make([]float64, len(u))
	for i, r := range s.Residual {
		u[i] = r / math.Sqrt(1+lineVariance*s.leverage[i])
		if u[i] != 0 {
			s.Studentised[i] = u[i] / s.tails.scale()
		}
	}
	if s.Verdicts, err = s.tails.verdicts(u); err != nil {
		return err
	}
	if s.LongTailed = s.Verdicts; s.longTails != s.tails {
		s.LongTailed, err = s.longTails.verdicts(u)
	}
	return err
}

// verdicts judges distances by the tails of clean rows.
func (t *tailModel) verdicts(u []float64) (v Verdicts, err error) {
	n := len(u)
	v.PHigh, v.PLow, v.PTwo = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, distance := range u {
		beyond := t.beyond(math.Abs(distance))
		v.PHigh[i], v.PLow[i] = beyond, 1-beyond
		if distance < 0 {
			v.PHigh[i], v.PLow[i] = v.PLow[i], v.PHigh[i]
		}
		v.PTwo[i] = math.Min(1, 2*beyond)
	}
	for _, q := range []struct {
		to   *[]float64
		from []float64
	}{{&v.QHigh, v.PHigh}, {&v.QLow, v.PLow}, {&v.QTwo, v.PTwo}} {
		if *q.to, err = num.BenjaminiHochberg(q.from); err != nil {
			return v, err
		}
	}
	return v, nil
}
