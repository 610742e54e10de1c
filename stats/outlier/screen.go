package outlier

import (
	"math"

	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/robust"
)

// lineVariance is the variance of the screened line over that of least squares
// on clean rows alone, as far as it goes into p-values: which rows are set aside
// is itself uncertain. It is that of a line which trims at two scales; simulation
// confirms the error rates. Ranges take the variance that this log gives.
const lineVariance = 1.354

// Squares of residuals must stay in the range of double precision.
const (
	largestScale  = 1e150
	smallestScale = 1e-150
)

// ScreenOptions are the choices of Screen; the zero value means the defaults.
type ScreenOptions struct {
	Seed uint64 // of the robust start on many rows; 0 = 1
}

// Screened is a least-squares fit from which rows that lie off it have been set
// aside, and how far every row lies from it. Everything per row has length n.
type Screened struct {
	// Fit is on the kept rows, its coefficients plain least squares. ResidualSD,
	// SE and Cov are calibrated: corrected for what setting rows aside does to
	// them and for not knowing which rows those are.
	Fit         *linear.Fit
	Robust      *robust.RobustFit // the robust line, on all rows
	Kept        []bool            // took part in the fit
	Residual    []float64         // response minus the fit, for all rows
	Studentised []float64         // residual over its own standard error
	Verdicts                      // under the likeliest noise
	// LongTailed are the verdicts if clean rows have long tails, and
	// LongTailChance is how likely that is; 0 where the rows rule it out. There,
	// and where the likeliest noise has long tails, they are the same.
	LongTailed     Verdicts
	LongTailChance float64
	// TailDF is the degrees of freedom of the Student's t that clean rows scatter
	// like; infinite where a normal distribution describes them as well.
	TailDF float64

	tails, longTails *tailModel
	line             *lineError
	leverage         []float64 // of all rows in Fit
}

// Screen fits y on the columns of d without being pulled by rows that lie off
// the common fit, and says how sure it is of each row that it does.
//
// From the S-estimate of RobustLine on, descriptions of the rows are fitted and
// weighed against each other: no rows shifted off the line, some up, some down, in
// shares that are one or differ between the ends of the log. Rows more likely
// shifted than clean, all descriptions taken together, are set aside, and the
// fit is least squares on the rest. About that fit the noise, normal or Student's
// t, is the one that Bayes' rule makes likeliest, averaged over its scale and over
// every likely set of rows shifted up or down. The p-values are the tails of that
// noise at r/√(1+h), averaged over the scales; q-values are theirs by Benjamini
// and Hochberg. Error rates and ranges are checked by
// simulation (cmd/calibrate).
//
// Where more than half of the rows lie exactly on one fit the spread is that of
// all rows about it, so that equal readings alone make no other row a discovery.
//
// Errors: those of LeastSquares and RobustLine.
func Screen(d linear.Design, y []float64, o ScreenOptions) (*Screened, error) {
	b, err := linear.NewBasis(d, y)
	if err != nil {
		return nil, err
	}
	rows := num.RowOrder(d.Columns, y)
	from, err := robust.StartOf(b, y, rows, robust.RobustOptions{Seed: o.Seed})
	if err != nil {
		return nil, err
	}
	if from.Scale > largestScale {
		return nil, num.ErrOverflow
	}
	if from.Scale < smallestScale {
		from.Scale = 0
	}
	s := &Screened{Robust: robust.RobustFrom(b, y, from), TailDF: math.Inf(1)}
	scale := from.Scale
	var m *mean
	if scale > 0 {
		m = describe(b, y, rows, from)
	}
	if m != nil {
		s.Kept, scale = m.kept(), m.scale
	}
	if m == nil || 2*s.keptRows() < b.N {
		// More than half would be set aside, or most rows lie on one fit.
		m, scale = nil, from.Scale
		s.Kept = make([]bool, b.N)
		for i, w := range s.Robust.Weights {
			s.Kept[i] = w > 0
		}
	}
	if err := s.refit(d, y); err != nil {
		m = nil
		// A column that only rows set aside can determine: nothing is set aside.
		for i := range s.Kept {
			s.Kept[i] = true
		}
		if err := s.refit(d, y); err != nil {
			return nil, err
		}
	}
	s.tails, s.longTails, s.LongTailChance = newTails(newSpread(s.Residual, b.P, scale, smallestShare*from.Scale))
	s.TailDF = s.tails.df
	s.line = newLineError(b, y, s.Kept, m)
	s.calibrate(b)
	if err := s.judge(); err != nil {
		return nil, err
	}
	if !s.finite() {
		return nil, num.ErrOverflow
	}
	return s, nil
}

// finite reports whether what the screen gives out is in the range of double
// precision.
func (s *Screened) finite() bool {
	return s.Robust.Finite() && s.Fit.Finite() && num.AllFinite(s.Residual) && num.AllFinite(s.Studentised)
}

func (s *Screened) keptRows() int {
	n := 0
	for _, keep := range s.Kept {
		if keep {
			n++
		}
	}
	return n
}

// refit is least squares on the kept rows, and the residuals and leverage of all.
func (s *Screened) refit(d linear.Design, y []float64) error {
	n := s.keptRows()
	take := func(x []float64) []float64 {
		out := make([]float64, 0, n)
		for i, v := range x {
			if s.Kept[i] {
				out = append(out, v)
			}
		}
		return out
	}
	kept := linear.Design{Names: d.Names, NoIntercept: d.NoIntercept}
	for _, c := range d.Columns {
		kept.Columns = append(kept.Columns, take(c))
	}
	f, err := linear.LeastSquares(kept, take(y))
	if err != nil {
		return err
	}
	s.Fit = f
	s.Residual, s.leverage = make([]float64, len(y)), make([]float64, len(y))
	x := make([]float64, len(d.Columns))
	k := 0
	for i := range y {
		if s.Kept[i] {
			s.Residual[i], s.leverage[i] = f.Residuals[k], f.Leverage[k]
			k++
			continue
		}
		for j, c := range d.Columns {
			x[j] = c[i]
		}
		fit, h := f.At(x)
		s.Residual[i], s.leverage[i] = y[i]-fit, h
	}
	return nil
}

// calibrate puts the corrected spread and the line's covariance into the fit.
func (s *Screened) calibrate(b *linear.Basis) {
	f := s.Fit
	f.ResidualSD = math.Max(f.ResidualSD, s.tails.scale())
	f.Cov = b.Covariance(s.line.cov)
	f.Cov.ScaleSym(f.ResidualSD*f.ResidualSD, f.Cov)
	for j := range f.SE {
		f.SE[j] = math.Sqrt(f.Cov.At(j, j))
	}
}

// PredictionRange returns the value fitted at predictors x (without the
// constant) and the range in which one new clean response lies with the given
// confidence. NaN where x has the wrong length or for a confidence outside
// (0, 1).
func (s *Screened) PredictionRange(x []float64, confidence float64) (fit, low, high float64) {
	return s.rangeAt(x, s.tails.quantile(confidence))
}

// PredictionRanges is PredictionRange for every row of predictors given as
// columns of equal length.
func (s *Screened) PredictionRanges(columns [][]float64, confidence float64) (fit, low, high []float64) {
	n := 0
	if len(columns) > 0 {
		n = len(columns[0])
	}
	quantile := s.tails.quantile(confidence)
	fit, low, high = make([]float64, n), make([]float64, n), make([]float64, n)
	x := make([]float64, len(columns))
	for i := range n {
		for j, c := range columns {
			x[j] = c[i]
		}
		fit[i], low[i], high[i] = s.rangeAt(x, quantile)
	}
	return fit, low, high
}

// rangeAt is the range at x of a new response that lies within the quantile of
// the line.
func (s *Screened) rangeAt(x []float64, quantile float64) (fit, low, high float64) {
	fit, _ = s.Fit.At(x)
	half := quantile * math.Sqrt(1+s.line.at(x))
	return fit, fit - half, fit + half
}

// SlopeRange is the range of coefficient j of Fit.Names at the given confidence.
func (s *Screened) SlopeRange(j int, confidence float64) (low, high float64) {
	return s.Fit.Interval(j, confidence)
}
