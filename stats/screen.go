package stats

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// startCut scales from the S-estimate is where rows are first set aside: the
	// 97.5 % point of the absolute value of a normal error.
	startCut = 2.24
	// innerLevel is the false discovery rate at which rows are set aside.
	innerLevel = 0.10
	// screenSteps bounds the refits; a fixed point comes in about five.
	screenSteps = 50
)

// ScreenOptions are the choices of Screen; the zero value means the defaults.
type ScreenOptions struct {
	Seed uint64 // of the robust start on many rows; 0 = 1
}

// Screened is a least-squares fit from which rows that lie off it have been set
// aside, and how far every row lies from it. Everything per row has length n.
type Screened struct {
	Fit         *Fit       // on the kept rows
	Robust      *RobustFit // the robust line it starts from, on all rows
	Kept        []bool     // took part in the fit
	Residual    []float64  // response minus the fit, for all rows
	Studentised []float64  // residual over its own standard error, the row itself left out
	PHigh, PLow []float64  // one-sided p of lying above, below the fit
	PTwo        []float64  // two-sided p
	QHigh, QLow []float64  // the same, adjusted over all rows (Benjamini–Hochberg)
	QTwo        []float64
}

// Screen fits y on the columns of d without being pulled by rows that lie off
// the common fit, and says how sure it is of each row that it does.
func Screen(d Design, y []float64, o ScreenOptions) (*Screened, error) {
	robust, err := RobustLine(d, y, RobustOptions{Seed: o.Seed})
	if err != nil {
		return nil, err
	}
	n := len(y)
	s := &Screened{Robust: robust, Kept: make([]bool, n), Residual: make([]float64, n), Studentised: make([]float64, n)}
	for i := range y {
		s.Kept[i] = math.Abs(robust.Residuals[i]) <= startCut*robust.Scale
	}
	for range screenSteps {
		if err := s.refit(d, y); err != nil {
			return nil, err
		}
		before := slices.Clone(s.Kept)
		s.setAside()
		if slices.Equal(before, s.Kept) {
			break
		}
	}
	s.Kept = slices.Clone(s.Kept)
	if err := s.refit(d, y); err != nil {
		return nil, err
	}
	return s, s.adjust()
}

func (s *Screened) refit(d Design, y []float64) error {
	kept := Design{Names: d.Names, NoIntercept: d.NoIntercept}
	n := 0
	for _, keep := range s.Kept {
		if keep {
			n++
		}
	}
	take := func(x []float64) []float64 {
		out := make([]float64, 0, n)
		for i, v := range x {
			if s.Kept[i] {
				out = append(out, v)
			}
		}
		return out
	}
	for _, c := range d.Columns {
		kept.Columns = append(kept.Columns, take(c))
	}
	f, err := LeastSquares(kept, take(y))
	if err != nil {
		return err
	}
	s.Fit = f
	k := 0
	x := make([]float64, len(d.Columns))
	for i := range y {
		if s.Kept[i] {
			s.Residual[i], s.Studentised[i] = f.Residuals[k], f.Deleted[k]
			k++
			continue
		}
		for j, c := range d.Columns {
			x[j] = c[i]
		}
		fit, se := f.PredictionSE(x)
		s.Residual[i] = y[i] - fit
		s.Studentised[i] = 0
		if s.Residual[i] != 0 {
			s.Studentised[i] = s.Residual[i] / se
		}
	}
	return nil
}

func (s *Screened) tails() {
	n := len(s.Studentised)
	s.PHigh, s.PLow, s.PTwo = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, t := range s.Studentised {
		df := s.Fit.DF
		if s.Kept[i] && df > 1 {
			df--
		}
		least := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.CDF(-math.Abs(t))
		s.PHigh[i], s.PLow[i] = least, 1-least
		if t < 0 {
			s.PHigh[i], s.PLow[i] = s.PLow[i], s.PHigh[i]
		}
		s.PTwo[i] = math.Min(1, 2*least)
	}
}

func (s *Screened) setAside() {
	s.tails()
	q, err := BenjaminiHochberg(s.PTwo)
	if err != nil {
		return
	}
	for i := range s.Kept {
		s.Kept[i] = q[i] > innerLevel
	}
}

func (s *Screened) adjust() (err error) {
	s.tails()
	if s.QHigh, err = BenjaminiHochberg(s.PHigh); err != nil {
		return err
	}
	if s.QLow, err = BenjaminiHochberg(s.PLow); err != nil {
		return err
	}
	s.QTwo, err = BenjaminiHochberg(s.PTwo)
	return err
}

// PredictionRange is the value fitted at predictors x (without the constant) and
// the range in which one new response lies with the given confidence.
func (s *Screened) PredictionRange(x []float64, confidence float64) (fit, low, high float64) {
	return s.Fit.PredictionRange(x, confidence)
}

// PredictionRanges is PredictionRange for every row of predictors given as
// columns of equal length.
func (s *Screened) PredictionRanges(columns [][]float64, confidence float64) (fit, low, high []float64) {
	return s.Fit.PredictionRanges(columns, confidence)
}

// SlopeRange is the range of coefficient j of Fit.Names at the given confidence.
func (s *Screened) SlopeRange(j int, confidence float64) (low, high float64) {
	return s.Fit.Interval(j, confidence)
}
