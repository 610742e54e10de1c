package trend

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
	"pleatstat/stats/linear"
	"pleatstat/stats/num"
	"pleatstat/stats/outlier"
	"pleatstat/stats/rank"
	"pleatstat/stats/robust"
)

const (
	// keptChance: a point is kept if it is more likely sound than not.
	keptChance = 0.5
	// bandSteps is the number of abscissas at which the prediction range is
	// tabulated for drawing.
	bandSteps = 65
)

// Options are the choices of a fit; the zero value fits product means.
type Options struct {
	PerOpening bool     // fit every opening instead of the mean of each product
	Seed       uint64   // seed of subsampling and bootstrap; 0 is a valid seed
	Without    []string // ids of standard trends that FitAll leaves out
}

// FitAll fits the standard trends concurrently. A trend whose columns the log
// lacks is returned with TooFew set.
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
// With too few points, or a predictor that does not vary, it returns a Trend with
// TooFew set; Needed and Warnings state what is missing. Errors:
// *UnknownColumnError, *NotNumericError.
func FitTrend(log *dataset.Log, def Definition, o Options) (*Trend, error) {
	points, leftOut, err := Collect(log, def, o.PerOpening)
	if err != nil {
		return nil, err
	}
	return FitPoints(log, def, points, leftOut, o)
}

// FitPoints is FitTrend for points from Collect that the caller may have
// modified, as when prices are converted to the money of one date.
func FitPoints(log *dataset.Log, def Definition, points []Point, leftOut []LeftOut, o Options) (*Trend, error) {
	t := &Trend{
		Definition: def, N: len(points), Per: PerProduct, LeftOutReasons: leftOut, Points: points,
		Line: noLine(), Robust: noLine(), LeastSquares: noLine(), Theil: noLine(), BothErrors: noLine(),
		BootLow: math.NaN(), BootHigh: math.NaN(),
	}
	if o.PerOpening {
		t.Per = PerOpening
	}
	for _, l := range leftOut {
		t.LeftOut += l.Rows
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
				catalogue.Words(def.Predictor), len(points), t.unitOfCount()))
			return t, nil
		case errors.As(err, &few):
			t.tooFew(fmt.Sprintf("too few to say: %v", err))
			return t, nil
		}
		return nil, err
	}
	return t, nil
}

// unitOfCount names what the points of the trend are, in the plural.
func (t *Trend) unitOfCount() string { return string(t.Per) + "s" }

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

// fit fits all lines to the points and fills in the results.
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

	start, err := robust.RobustLine(design, y, robust.RobustOptions{Seed: o.Seed})
	if err != nil {
		return err
	}
	t.Robust = Line{
		Intercept: start.Coef[0], Slope: start.Coef[1], Spread: start.Scale, RSquared: math.NaN(), Confidence: Confidence,
	}
	t.Robust.SlopeLow, t.Robust.SlopeHigh = start.Interval(1, Confidence)

	m, err := outlier.Fit(design.Columns, y, outlier.Start{Fitted: start.Fitted, Scale: start.Scale})
	if err != nil {
		return err
	}
	t.Shapes = m.Shapes
	kept := make([]bool, len(y))
	var sound, squares []float64
	for i, chance := range m.Clean {
		if kept[i] = chance >= keptChance; kept[i] {
			sound, squares = append(sound, y[i]), append(squares, m.Residual[i]*m.Residual[i])
		}
	}
	t.Line = Line{Intercept: m.Coef[0], Slope: m.Coef[1], Spread: m.Spread, Confidence: Confidence,
		RSquared: 1 - num.Mean(squares)/stat.PopVariance(sound, nil)}
	t.Line.SlopeLow, t.Line.SlopeHigh = m.Interval(1, Confidence)
	if theil, err := rank.TheilSen(x, y, Confidence); err == nil {
		t.Theil = Line{
			Intercept: theil.Intercept, Slope: theil.Slope, SlopeLow: theil.Low, SlopeHigh: theil.High,
			Spread: math.NaN(), RSquared: math.NaN(), Confidence: Confidence,
		}
	}

	t.fitBothErrors(log, x, y, kept)
	t.place(m, x, kept)
	t.diagnose(x, y, o)
	return nil
}

// lineOf returns the line of a least squares fit with one predictor.
func lineOf(f *linear.Fit) Line {
	low, high := f.Interval(1, Confidence)
	return Line{
		Intercept: f.Coef[0], Slope: f.Coef[1], SlopeLow: low, SlopeHigh: high,
		Spread: f.ResidualSD, RSquared: f.RSquared, Confidence: Confidence,
	}
}

// place compares every point with the line, and tabulates the line and its
// prediction range over the span of x.
func (t *Trend) place(m *outlier.Model, x []float64, kept []bool) {
	at := append(slices.Clone(x), floats.Span(make([]float64, bandSteps), slices.Min(x), slices.Max(x))...)
	fit, low, high := m.Ranges([][]float64{at}, Confidence)
	for i := len(x); i < len(at); i++ {
		t.Band = append(t.Band, BandPoint{X: t.Scale.off(at[i]), Fit: t.Scale.off(fit[i]), Low: t.Scale.off(low[i]), High: t.Scale.off(high[i])})
	}
	above, below, either := tailsOf(m.High), tailsOf(m.Low), tailsOf(outlier.TwoSided(m.High, m.Low))
	for i := range t.Points {
		p := &t.Points[i]
		p.Expected, p.Low, p.High = t.Scale.off(fit[i]), t.Scale.off(low[i]), t.Scale.off(high[i])
		p.Residual, p.Studentised, p.Kept = m.Residual[i], m.Residual[i]/m.SpreadAt(i), kept[i]
		p.Above, p.Below, p.Either = above[i], below[i], either[i]
	}
}
