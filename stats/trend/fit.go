package trend

import (
	"errors"
	"fmt"
	"math"
	"runtime"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/stat"

	"pleatstat/dataset"
	"pleatstat/stats"
	"pleatstat/stats/outlier"
)

const (
	// confidence of every range a trend carries.
	confidence = 0.95
	// minPoints is the fewest points a line is drawn through: below it the 95 %
	// factor of Student's t on the spread exceeds 2.4 and one point in eight
	// decides the slope.
	minPoints = 8
	// keptChance: a point is kept that is more likely sound than not.
	keptChance = 0.5
	// bandSteps is the number of abscissas at which the prediction range is
	// tabulated for drawing.
	bandSteps = 65
)

// Options are the choices of a fit; the zero value fits over products.
type Options struct {
	PerOpening bool   // fit every opening instead of the mean of each product
	Seed       uint64 // seed of subsampling and bootstrap; 0 is a seed too
}

// FitAll fits the standard trends that the log has any column for, several at
// a time.
func FitAll(log *dataset.Log, o Options) ([]*Trend, error) {
	definitions := Standard()
	trends := make([]*Trend, len(definitions))
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, def := range definitions {
		group.Go(func() (err error) {
			if trends[i], err = FitTrend(log, def, o); err != nil {
				return fmt.Errorf("trend %s: %w", def.ID, err)
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	return trends, nil
}

// FitTrend fits one trend over products (or openings, see Options).
//
// With too few points, or a predictor that does not vary, it returns a Trend
// with TooFew set and says in Needed and Warnings what would do. Errors:
// *UnknownColumnError, *NotNumericError.
func FitTrend(log *dataset.Log, def Definition, o Options) (*Trend, error) {
	points, leftOut, err := collect(log, def, o.PerOpening)
	if err != nil {
		return nil, err
	}
	t := &Trend{
		Definition: def, N: len(points), PerOpening: o.PerOpening, LeftOut: leftOut, Points: points,
		Line: noLine(), Robust: noLine(), LeastSquares: noLine(), Theil: noLine(), BothErrors: noLine(),
		BootLow: math.NaN(), BootHigh: math.NaN(),
	}
	if len(points) < minPoints {
		are := "are"
		if len(points) == 1 {
			are = "is"
		}
		t.tooFew(fmt.Sprintf("too few to say: a line needs at least %d %s with both measures; there %s %d",
			minPoints, t.unitOfCount(), are, len(points)))
		return t, nil
	}
	if err := t.fit(log, o); err != nil {
		var rank *stats.RankError
		var few *stats.TooFewError
		switch {
		case errors.As(err, &rank):
			t.tooFew(fmt.Sprintf("no line can be drawn: %s is the same for all %d %s",
				Words(def.Predictor), len(points), t.unitOfCount()))
			return t, nil
		case errors.As(err, &few):
			t.tooFew(fmt.Sprintf("too few to say: %v", err))
			return t, nil
		}
		return nil, err
	}
	return t, nil
}

// unitOfCount says what the points of the trend are.
func (t *Trend) unitOfCount() string {
	if t.PerOpening {
		return "openings"
	}
	return "products"
}

func (t *Trend) tooFew(warning string) {
	t.TooFew = true
	t.Needed = max(minPoints, len(t.Points))
	t.Points = nil
	t.Warnings = append(t.Warnings, warning)
}

func noLine() Line {
	nan := math.NaN()
	return Line{Intercept: nan, Slope: nan, SlopeLow: nan, SlopeHigh: nan, Spread: nan, RSquared: nan, Confidence: confidence}
}

// fit runs the lines over the points and fills what follows from them.
func (t *Trend) fit(log *dataset.Log, o Options) error {
	x, y := make([]float64, len(t.Points)), make([]float64, len(t.Points))
	for i, p := range t.Points {
		x[i], y[i] = t.Scale.on(p.X), t.Scale.on(p.Y)
	}
	design := stats.Design{Names: []string{t.Predictor}, Columns: [][]float64{x}}

	plain, err := stats.LeastSquares(design, y)
	if err != nil {
		return err
	}
	t.LeastSquares = lineOf(plain)

	robust, err := stats.RobustLine(design, y, stats.RobustOptions{Seed: o.Seed})
	if err != nil {
		return err
	}
	t.Robust = Line{
		Intercept: robust.Coef[0], Slope: robust.Coef[1], Spread: robust.Scale, RSquared: math.NaN(), Confidence: confidence,
	}
	t.Robust.SlopeLow, t.Robust.SlopeHigh = robust.Interval(1, confidence)

	m, err := outlier.Fit(design.Columns, y, outlier.Start{Fitted: robust.Fitted, Scale: robust.Scale})
	if err != nil {
		return err
	}
	t.model, t.Shapes = m, m.Shapes
	kept := make([]bool, len(y))
	var sound, squares []float64
	for i, chance := range m.Clean {
		if kept[i] = chance >= keptChance; kept[i] {
			sound, squares = append(sound, y[i]), append(squares, m.Residual[i]*m.Residual[i])
		}
	}
	t.Line = Line{Intercept: m.Coef[0], Slope: m.Coef[1], Spread: m.Spread, Confidence: confidence,
		RSquared: 1 - stats.Mean(squares)/stat.PopVariance(sound, nil)}
	t.Line.SlopeLow, t.Line.SlopeHigh = m.Interval(1, confidence)
	if theil, err := stats.TheilSen(x, y, confidence); err == nil {
		t.Theil = Line{
			Intercept: theil.Intercept, Slope: theil.Slope, SlopeLow: theil.Low, SlopeHigh: theil.High,
			Spread: math.NaN(), RSquared: math.NaN(), Confidence: confidence,
		}
	}

	t.fitBothErrors(log, x, y, kept)
	if err := t.place(x, kept); err != nil {
		return err
	}
	t.tabulateBand(x)
	t.diagnose(x, y, o)
	return nil
}

// lineOf reads a straight line off a fit with one predictor.
func lineOf(f *stats.Fit) Line {
	low, high := f.Interval(1, confidence)
	return Line{
		Intercept: f.Coef[0], Slope: f.Coef[1], SlopeLow: low, SlopeHigh: high,
		Spread: f.ResidualSD, RSquared: f.RSquared, Confidence: confidence,
	}
}

// place sets every point against the line.
func (t *Trend) place(x []float64, kept []bool) error {
	m := t.model
	fit, low, high := m.Ranges([][]float64{x}, confidence)
	two := outlier.TwoSided(m.High, m.Low)
	var q [3][2][]float64 // high, low, two-sided; clear, probable
	for k, e := range []outlier.Evidence{m.High, m.Low, two} {
		var err error
		if q[k][0], q[k][1], err = e.Q(); err != nil {
			return err
		}
	}
	for i := range t.Points {
		p := &t.Points[i]
		p.Expected, p.Low, p.High = t.Scale.off(fit[i]), t.Scale.off(low[i]), t.Scale.off(high[i])
		p.Residual, p.Studentised, p.Kept = m.Residual[i], m.Residual[i]/m.SpreadAt(i), kept[i]
		p.Verdict = Verdict{
			PHigh: m.High.Even[i], PLow: m.Low.Even[i], PTwo: two.Even[i],
			QHigh: q[0][1][i], QLow: q[1][1][i], QTwo: q[2][1][i],
			ClearHigh: q[0][0][i], ClearLow: q[1][0][i], ClearTwo: q[2][0][i],
		}
	}
	return nil
}

// tabulateBand lays the line and its prediction range over the span of x.
func (t *Trend) tabulateBand(x []float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range x {
		low, high = min(low, v), max(high, v)
	}
	at := make([]float64, bandSteps)
	for i := range at {
		at[i] = low + (high-low)*float64(i)/(bandSteps-1)
	}
	fit, lo, hi := t.model.Ranges([][]float64{at}, confidence)
	t.Band = make([]BandPoint, bandSteps)
	for i := range t.Band {
		t.Band[i] = BandPoint{X: t.Scale.off(at[i]), Fit: t.Scale.off(fit[i]), Low: t.Scale.off(lo[i]), High: t.Scale.off(hi[i])}
	}
}
