package stats

import "math"

// Verdicts say of every row how likely a clean one is to lie so far off. All
// have length n.
type Verdicts struct {
	PHigh, PLow []float64 // one-sided p of lying above, below the fit
	PTwo        []float64 // two-sided p
	QHigh, QLow []float64 // the same, adjusted over all rows (Benjamini–Hochberg)
	QTwo        []float64
}

// ruledOut: long tails less likely than this are ruled out by the rows.
const ruledOut = 0.05

// LongTailsPossible reports whether the rows leave it open that clean ones have
// long tails.
func (s *Screened) LongTailsPossible() bool { return s.LongTailChance >= ruledOut }

// judge fills the studentised residuals and both sets of verdicts.
func (s *Screened) judge(d Design) (err error) {
	u := s.distances(d)
	s.Studentised = make([]float64, len(u))
	for i, v := range u {
		if v != 0 {
			s.Studentised[i] = v / s.tails.scale()
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

// distances are the residuals over the root of 1 + the row's share in the
// variance of the line.
func (s *Screened) distances(d Design) []float64 {
	u := make([]float64, len(s.Residual))
	x := make([]float64, len(d.Columns))
	k := 0
	for i, r := range s.Residual {
		var h float64
		if s.Kept[i] {
			h = s.Fit.Leverage[k]
			k++
		} else {
			for j, c := range d.Columns {
				x[j] = c[i]
			}
			_, h = s.Fit.at(x)
		}
		u[i] = r / math.Sqrt(1+lineVariance*h)
	}
	return u
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
		if *q.to, err = BenjaminiHochberg(q.from); err != nil {
			return v, err
		}
	}
	return v, nil
}
