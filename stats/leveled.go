package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// LeveledFit is a line with one slope for all blocks and one level for each:
// y = level(block) + slope·t. Blocks without two different times tell nothing
// of the slope and take no part.
type LeveledFit struct {
	Slope, SE float64 // SE² = Variance / Information
	// Variance is that of one value as far as it bears on the slope: the
	// residual variance of least squares, or its counterpart for the robust
	// line.
	Variance    float64
	Information float64 // Σ (t - mean t of the block)²
	Scale       float64 // residual standard deviation, or the robust scale
	N, Blocks   int     // values and blocks that take part
	DF          int     // N - Blocks - 1
	Levels      []float64
	Residuals   [][]float64 // nil for a block that takes no part, whose level is NaN
	Weights     [][]float64 // 0 (no say) to 1 (full say)
}

// Interval is the range of the slope at the given confidence from Student's t
// with DF degrees of freedom; NaN for a confidence outside (0, 1) or without
// degrees of freedom.
func (f *LeveledFit) Interval(confidence float64) (low, high float64) {
	half := studentQuantile(f.DF, confidence) * f.SE
	return f.Slope - half, f.Slope + half
}

// P is the two-sided p of a slope of zero by Student's t; 1 where the slope is
// zero, NaN without degrees of freedom.
func (f *LeveledFit) P() float64 { return StudentP(f.Slope, f.SE, float64(f.DF)) }

// StudentP is the two-sided p of estimate/se by Student's t with df degrees of
// freedom (infinite = the normal distribution): 1 for an estimate of 0, NaN
// where one is NaN or df is not positive.
func StudentP(estimate, se, df float64) float64 {
	switch {
	case !(df > 0) || math.IsNaN(estimate) || math.IsNaN(se):
		return math.NaN()
	case estimate == 0:
		return 1
	case se == 0:
		return 0
	case math.IsInf(df, 1):
		return twoSided(estimate / se)
	}
	return 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.CDF(-math.Abs(estimate/se))
}

// StudentQuantile is the t for a two-sided range of the given confidence with
// df degrees of freedom, whole or not; NaN for a confidence outside (0, 1) or
// df that is not positive.
func StudentQuantile(df, confidence float64) float64 {
	switch {
	case !(confidence > 0 && confidence < 1) || !(df > 0):
		return math.NaN()
	case math.IsInf(df, 1):
		return distuv.UnitNormal.Quantile((1 + confidence) / 2)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + confidence) / 2)
}

// LeveledLine fits the line by least squares. Values are taken as deviations
// from their block's mean, which gives the estimates of one indicator column a
// block (the within estimator of the analysis of covariance; Frisch and Waugh
// 1933, Econometrica 1, 387–401) in O(n).
//
// Errors: no block with two different times, or no degree of freedom left
// (*TooFewError), lengths that differ (*LengthError), NaN or infinite values
// (*NonFiniteError).
func LeveledLine(blocks []Series) (*LeveledFit, error) {
	f, err := newLeveled(blocks)
	if err != nil {
		return nil, err
	}
	f.weighted(blocks)
	squares := 0.0
	for b := range blocks {
		for _, r := range f.Residuals[b] {
			squares += r * r
		}
	}
	f.Variance = squares / float64(f.DF)
	f.Scale = math.Sqrt(f.Variance)
	f.SE = math.Sqrt(f.Variance / f.Information)
	return f, nil
}

// newLeveled checks the blocks, counts those that take part and gives every
// value full weight.
func newLeveled(blocks []Series) (*LeveledFit, error) {
	f := &LeveledFit{
		Levels:    make([]float64, len(blocks)),
		Residuals: make([][]float64, len(blocks)), Weights: make([][]float64, len(blocks)),
	}
	for i, b := range blocks {
		if err := checkPairs(b.T, b.Y, 0); err != nil {
			return nil, err
		}
		f.Levels[i] = math.NaN()
		if !varies(b.T) {
			continue
		}
		f.N += len(b.T)
		f.Blocks++
		mean := plainMean(b.T)
		for _, t := range b.T {
			f.Information += (t - mean) * (t - mean)
		}
		f.Residuals[i] = make([]float64, len(b.T))
		f.Weights[i] = make([]float64, len(b.T))
		for k := range f.Weights[i] {
			f.Weights[i][k] = 1
		}
	}
	f.DF = f.N - f.Blocks - 1
	if f.Blocks == 0 {
		return nil, &TooFewError{What: "different times in one block", Have: 1, Need: 2}
	}
	if f.DF < 1 {
		return nil, &TooFewError{What: "values", Have: f.N, Need: f.Blocks + 2}
	}
	return f, nil
}

// weighted sets slope, levels and residuals to the least squares of the
// present weights; false where the weights leave no spread of times.
func (f *LeveledFit) weighted(blocks []Series) bool {
	var cross, squares float64
	meansT := make([]float64, len(blocks))
	for i, b := range blocks {
		w := f.Weights[i]
		if w == nil {
			continue
		}
		var sum, t, y float64
		for k := range w {
			sum += w[k]
			t += w[k] * b.T[k]
			y += w[k] * b.Y[k]
		}
		if sum <= 0 {
			continue // every value set aside: the level stays
		}
		t, y = t/sum, y/sum
		meansT[i], f.Levels[i] = t, y
		for k := range w {
			dt := b.T[k] - t
			cross += w[k] * dt * (b.Y[k] - y)
			squares += w[k] * dt * dt
		}
	}
	// Weights that are all but nil would let rounding choose the slope.
	if squares <= 1e-9*f.Information {
		return false
	}
	f.Slope = cross / squares
	for i, b := range blocks {
		if f.Weights[i] == nil {
			continue
		}
		f.Levels[i] -= f.Slope * meansT[i]
		for k := range b.T {
			f.Residuals[i][k] = b.Y[k] - f.Levels[i] - f.Slope*b.T[k]
		}
	}
	return true
}

// varies says whether x holds two different values.
func varies(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// plainMean is the mean of finite values that are not many: no compensation.
func plainMean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
