package panel

import (
	"math"

	"pleatstat/stats/num"
)

// FixedEffectsFit is a line with one slope for all blocks and one level for each:
// y = level(block) + slope·t. Blocks without two different times hold no
// information on the slope and are ignored.
type FixedEffectsFit struct {
	Slope, SE float64 // SE² = Variance / Information
	// Variance is the residual variance of least squares, or the value that takes
	// its place in the standard error of the robust line.
	Variance    float64
	Information float64     // Σ (t - mean t of the block)²
	Scale       float64     // residual standard deviation, or the robust scale
	N, Blocks   int         // values and blocks used
	DF          int         // degrees of freedom, N - Blocks - 1
	Levels      []float64   // one per block, at t = 0; NaN for an ignored block
	Residuals   [][]float64 // one slice per block; nil for an ignored block
}

// Interval returns the confidence interval of the slope, from Student's t with DF
// degrees of freedom; NaN for a confidence outside (0, 1) or without degrees of
// freedom.
func (f *FixedEffectsFit) Interval(confidence float64) (low, high float64) {
	half := num.StudentQuantile(float64(f.DF), confidence) * f.SE
	return f.Slope - half, f.Slope + half
}

// P returns the two-sided p-value of a slope of zero by Student's t; 1 if the slope
// is zero, NaN without degrees of freedom.
func (f *FixedEffectsFit) P() float64 { return num.StudentP(f.Slope, f.SE, float64(f.DF)) }

// FixedEffects fits the line by least squares in O(n). It uses deviations from the
// means of the blocks, which gives the same estimates as one indicator column per
// block (the within estimator of the analysis of covariance; Frisch and Waugh 1933,
// Econometrica 1, 387–401).
//
// Errors: no block with two different times, or no degree of freedom left
// (*TooFewError), lengths that differ (*LengthError), NaN or infinite values
// (*NonFiniteError).
func FixedEffects(blocks []num.Series) (*FixedEffectsFit, error) {
	f, l, err := newWithin(blocks)
	if err != nil {
		return nil, err
	}
	cross := 0.0
	for i := range l.blocks {
		t, y := l.block(i)
		l.level[i] = num.PlainMean(y)
		for k := range y {
			y[k] -= l.level[i]
			cross += t[k] * y[k]
		}
	}
	f.Slope = cross / f.Information
	f.finish(l)
	squares := 0.0
	for _, r := range l.y {
		squares += r * r
	}
	f.Variance = squares / float64(f.DF)
	f.Scale = math.Sqrt(f.Variance)
	f.SE = math.Sqrt(f.Variance / f.Information)
	return f, nil
}

// withinRows holds the values of the blocks used, concatenated, so that a pass over
// them is a pass over two slices.
type withinRows struct {
	blocks []int     // indices of the blocks used
	from   []int     // index of the first value of each, and the number of values
	t      []float64 // times, less the mean of the block
	y      []float64 // values, less the present level of the block
	mean   []float64 // mean time of each block
	level  []float64 // level of each block at its mean time
}

// block returns the times and values of the i-th block used.
func (l *withinRows) block(i int) (t, y []float64) {
	from, to := l.from[i], l.from[i+1]
	return l.t[from:to:to], l.y[from:to:to]
}

// newWithin checks the blocks, counts those that can be used and copies their
// values.
func newWithin(blocks []num.Series) (*FixedEffectsFit, *withinRows, error) {
	f := &FixedEffectsFit{}
	for _, b := range blocks {
		if err := num.CheckPairs(b.T, b.Y, 0); err != nil {
			return nil, nil, err
		}
		if num.Varies(b.T) {
			f.N += len(b.T)
			f.Blocks++
		}
	}
	f.DF = f.N - f.Blocks - 1
	if f.Blocks == 0 {
		return nil, nil, &num.TooFewError{What: "different times in one block", Have: 1, Need: 2}
	}
	if f.DF < 1 {
		return nil, nil, &num.TooFewError{What: "values", Have: f.N, Need: f.Blocks + 2}
	}
	f.Levels, f.Residuals = make([]float64, len(blocks)), make([][]float64, len(blocks))
	l := &withinRows{
		blocks: make([]int, 0, f.Blocks), from: make([]int, 0, f.Blocks+1),
		t: make([]float64, 0, f.N), y: make([]float64, 0, f.N),
		mean: make([]float64, 0, f.Blocks), level: make([]float64, f.Blocks),
	}
	for i, b := range blocks {
		f.Levels[i] = math.NaN()
		if !num.Varies(b.T) {
			continue
		}
		mean := num.PlainMean(b.T)
		l.blocks, l.from, l.mean = append(l.blocks, i), append(l.from, len(l.t)), append(l.mean, mean)
		for _, t := range b.T {
			l.t = append(l.t, t-mean)
			f.Information += (t - mean) * (t - mean)
		}
		l.y = append(l.y, b.Y...)
	}
	l.from = append(l.from, f.N)
	return f, l, nil
}

// finish sets Residuals and Levels, the latter at t = 0; the values of l must be
// deviations from the levels at the mean times.
func (f *FixedEffectsFit) finish(l *withinRows) {
	for i, at := range l.blocks {
		t, y := l.block(i)
		for k := range y {
			y[k] -= f.Slope * t[k]
		}
		f.Residuals[at] = y
		f.Levels[at] = l.level[i] - f.Slope*l.mean[i]
	}
}
