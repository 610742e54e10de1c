package trend

import (
	"fmt"
	"math"

	"pleatstat/stats/linear"
)

const (
	// doubtLevel is the p below which a check of an assumption becomes a
	// warning. It is stricter than 0.05 because each trend passes several
	// checks and every report several trends.
	doubtLevel = 0.01
	// bootstrapUpTo is the largest number of points for which a bootstrap is run;
	// above it the interval of the slope hardly depends on the shape of the noise.
	bootstrapUpTo = 1000
	// normalityUpTo is the largest sample that the normality test is defined for
	// (Royston 1995).
	normalityUpTo = 5000
	// replicates is the number of bootstrap resamples.
	replicates = 2000
)

// diagnose checks the assumptions behind the line through the kept points and
// adds a warning for each that fails.
func (t *Trend) diagnose(x, y []float64, o Options) {
	warn := func(format string, args ...any) { t.Warnings = append(t.Warnings, fmt.Sprintf(format, args...)) }
	if t.N < FewPoints {
		t.Warnings = append(t.Warnings, t.caution())
	}
	var kx, ky []float64
	var kept []int
	for i, p := range t.Points {
		if p.Kept {
			kx, ky, kept = append(kx, x[i]), append(ky, y[i]), append(kept, i)
		}
	}
	if _, p, err := linear.Curvature(kx, ky); err == nil && p < doubtLevel {
		warn("curved: a straight line misses a bend (%s); read the ends of the range with care", level(p))
	}
	design := linear.Design{Names: []string{t.Predictor}, Columns: [][]float64{kx}}
	fit, err := linear.LeastSquares(design, ky)
	if err != nil {
		return // the kept points alone do not determine a line: nothing to add
	}
	if _, p, err := linear.BreuschPagan(fit, design); err == nil && p < doubtLevel {
		warn("uneven spread: the scatter changes along the line (%s); ranges are too wide at one end and too narrow at the other", level(p))
	}
	t.checkInfluence(fit, kept, warn)
	t.checkNormality(fit, kx, ky, o, warn)
	if !math.IsNaN(t.Robust.Slope) && (t.Robust.Slope < t.Line.SlopeLow || t.Robust.Slope > t.Line.SlopeHigh) {
		warn("the robust line has another slope (%s): a group of %s pulls one of the two", against(t.Robust.Slope, t.Line.Slope), t.unitOfCount())
	}
}

// caution is the warning about few points.
func (t *Trend) caution() string {
	return fmt.Sprintf("only %d %s: the line is drawn with caution; %d would make it firmer", t.N, t.unitOfCount(), FewPoints)
}

// level formats a p value.
func level(p float64) string {
	if p < 0.0001 {
		return "p below 0.0001"
	}
	return fmt.Sprintf("p = %.2g", p)
}

// against expresses one slope relative to another, free of units.
func against(slope, other float64) string {
	ratio := slope / other
	switch {
	case math.IsInf(ratio, 0):
		return "where this one has none"
	case ratio < 0:
		return "the other way"
	}
	return fmt.Sprintf("%.2g times this one", ratio)
}

// checkInfluence warns of each point that dominates the fit.
func (t *Trend) checkInfluence(fit *linear.Fit, kept []int, warn func(string, ...any)) {
	for _, i := range fit.Influential() {
		p := t.Points[kept[i]]
		warn("one point carries the fit: without %s %s (line %d) the line would move by as much as all its uncertainty", p.Maker, p.Part, p.Lines[0])
	}
}

// checkNormality replaces the t interval of the slope by a bootstrap interval
// where the residuals are not normal.
func (t *Trend) checkNormality(fit *linear.Fit, x, y []float64, o Options, warn func(string, ...any)) {
	if len(y) > normalityUpTo {
		return
	}
	_, p, err := linear.ShapiroWilk(fit.Residuals)
	if err != nil || p >= doubtLevel || len(y) > bootstrapUpTo {
		return
	}
	slope := func(rows []int) float64 { return slopeOf(x, y, rows) }
	low, high, err := linear.BCa(len(y), slope, linear.BootOptions{Replicates: replicates, Confidence: Confidence, Seed: o.Seed})
	if err != nil || math.IsNaN(low) || math.IsNaN(high) {
		warn("the scatter is not bell-shaped (%s): take the ranges as rough", level(p))
		return
	}
	t.BootLow, t.BootHigh = low, high
	t.Line.SlopeLow, t.Line.SlopeHigh = low, high
	warn("the scatter is not bell-shaped (%s): the slope's range comes from %d resamples instead of the t formula", level(p), replicates)
}

// slopeOf returns the least squares slope over the given rows, NaN where x does
// not vary. The bootstrap calls it thousands of times and needs only the slope,
// hence the closed form instead of linear.LeastSquares.
func slopeOf(x, y []float64, rows []int) float64 {
	var mx, my float64
	for _, i := range rows {
		mx += x[i]
		my += y[i]
	}
	n := float64(len(rows))
	mx, my = mx/n, my/n
	var sxx, sxy float64
	for _, i := range rows {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
	}
	if sxx == 0 {
		return math.NaN()
	}
	return sxy / sxx
}
