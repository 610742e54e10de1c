package trend

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"pleatstat/dataset"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/outlier"
	"pleatstat/stats/rank"
)

const (
	// bandSteps is the number of abscissas at which the prediction range is
	// tabulated for drawing.
	bandSteps = 65
)

// Options are the choices of a fit; the zero value fits over products.
type Options struct {
	PerOpening bool     // fit every opening instead of the mean of each product
	Seed       uint64   // seed of subsampling and bootstrap; 0 is a seed too
	Without    []string // ids of standard trends that FitAll leaves out
}

// FitAll fits the standard trends that the log has any column for, several at
// a time.
func FitAll(log *dataset.Log, o Options) ([]*Trend, error) {
	definitions := slices.DeleteFunc(Standard(), func(d Definition) bool { return slices.Contains(o.Without, d.ID) })
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
	points, leftOut, err := Collect(log, def, o.PerOpening)
	if err != nil {
		return nil, err
	}
	return FitPoints(log, def, points, leftOut, o)
}

// FitPoints is FitTrend through points that Collect gave and the caller may have
// changed since, as prices carried to the money of one date are.
func FitPoints(log *dataset.Log, def Definition, points []Point, leftOut []LeftOut, o Options) (*Trend, error) {
	t := &Trend{
		Definition: def, N: len(points), PerOpening: o.PerOpening, LeftOut: leftOut, Points: points,
		Line: noLine(), Robust: noLine(), LeastSquares: noLine(), Theil: noLine(), BothErrors: noLine(),
		BootLow: math.NaN(), BootHigh: math.NaN(),
	}
	if len(points) < LeastPoints {
		are := "are"
		if len(points) == 1 {
			are = "is"
		}
		t.tooFew(fmt.Sprintf("too few to say: a line needs at least %d %s with both measures; there %s %d",
			LeastPoints, t.unitOfCount(), are, len(points)))
		return t, nil
	}
	if err := t.fit(log, o); err != nil {
		var rank *num.RankError
		var few *num.TooFewError
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
	t.Needed = max(LeastPoints, len(t.Points))
	t.Points = nil
	t.Warnings = append(t.Warnings, warning)
}

func noLine() Line {
	nan := math.NaN()
	return Line{Intercept: nan, Slope: nan, SlopeLow: nan, SlopeHigh: nan, Spread: nan, RSquared: nan, Confidence: Confidence}
}

// fit runs the lines over the points and fills what follows from them.
func (t *Trend) fit(log *dataset.Log, o Options) error {
	x, y := make([]float64, len(t.Points)), make([]float64, len(t.Points))
	for i, p := range t.Points {
		x[i], y[i] = t.Scale.on(p.X), t.Scale.on(p.Y)
	}
	design := linear.Design{Names: []string{t.Predictor}, Columns: [][]float64{x}}

	plain, err := linear.LeastSquares(design, y)
	if err != nil {
		return err
	}
	t.LeastSquares = lineOf(plain)

	screened, err := outlier.Screen(design, y, outlier.ScreenOptions{Seed: o.Seed})
	if err != nil {
		return err
	}
	t.Line = lineOf(screened.Fit)
	t.Line.SlopeLow, t.Line.SlopeHigh = screened.SlopeRange(1, Confidence)

	t.Robust = Line{
		Intercept: screened.Robust.Coef[0], Slope: screened.Robust.Coef[1], Spread: screened.Robust.Scale,
		RSquared: math.NaN(), Confidence: Confidence,
	}
	t.Robust.SlopeLow, t.Robust.SlopeHigh = screened.Robust.Interval(1, Confidence)
	if theil, err := rank.TheilSen(x, y, Confidence); err == nil {
		t.Theil = Line{
			Intercept: theil.Intercept, Slope: theil.Slope, SlopeLow: theil.Low, SlopeHigh: theil.High,
			Spread: math.NaN(), RSquared: math.NaN(), Confidence: Confidence,
		}
	}

	t.fitBothErrors(log, x, y, screened.Kept)
	t.place(screened, x)
	t.tabulateBand(screened, x)
	t.diagnose(screened, x, y, o)
	return nil
}

// lineOf reads a straight line off a fit with one predictor.
func lineOf(f *linear.Fit) Line {
	low, high := f.Interval(1, Confidence)
	return Line{
		Intercept: f.Coef[0], Slope: f.Coef[1], SlopeLow: low, SlopeHigh: high,
		Spread: f.ResidualSD, RSquared: f.RSquared, Confidence: Confidence,
	}
}

// place sets every point against the line.
func (t *Trend) place(s *outlier.Screened, x []float64) {
	fit, low, high := s.PredictionRanges([][]float64{x}, Confidence)
	for i := range t.Points {
		p := &t.Points[i]
		p.Expected, p.Low, p.High = t.Scale.off(fit[i]), t.Scale.off(low[i]), t.Scale.off(high[i])
		p.Residual, p.Studentised, p.Kept = s.Residual[i], s.Studentised[i], s.Kept[i]
		p.Above, p.Below, p.Either = tails(s, i)
	}
}

// tabulateBand lays the line and its prediction range over the span of x.
func (t *Trend) tabulateBand(s *outlier.Screened, x []float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range x {
		low, high = min(low, v), max(high, v)
	}
	at := make([]float64, bandSteps)
	for i := range at {
		at[i] = low + (high-low)*float64(i)/(bandSteps-1)
	}
	fit, lo, hi := s.PredictionRanges([][]float64{at}, Confidence)
	t.Band = make([]BandPoint, bandSteps)
	for i := range t.Band {
		t.Band[i] = BandPoint{X: t.Scale.off(at[i]), Fit: t.Scale.off(fit[i]), Low: t.Scale.off(lo[i]), High: t.Scale.off(hi[i])}
	}
}
