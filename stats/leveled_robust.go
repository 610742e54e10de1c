package stats

import "math"

const (
	// leveledTuning gives the bisquare 98 % efficiency at normal errors: a slip
	// of the pen lies far beyond it, and nearly nothing is paid on a clean log.
	leveledTuning = 5.92

	// The scale is the bisquare M-estimate of breakdown 0.25: unlike a median
	// it does not jump where rounded values leave a few distinct residuals.
	leveledScaleTuning = 2.937015
	leveledBreakdown   = 0.25

	scaleSteps       = 100
	scaleTolerance   = 1e-6 // of itself
	scaleRounds      = 3    // scale, line, scale again from better residuals
	leveledSteps     = 100  // the M-step settles within a dozen
	leveledTolerance = 1e-7 // of the slope's standard error

	// startPairs is the largest number of pairs whose slopes are listed to
	// start from; larger blocks pair each value with the one half a block later.
	startPairs = 2000
)

// LeveledOptions are the choices of RobustLeveledLine; the zero value means
// the defaults.
type LeveledOptions struct {
	Scale  float64 // residual scale known beforehand (in units of y); 0 = estimated
	Floor  float64 // the scale is never taken below this: rounding makes ties that would pass for precision
	Tuning float64 // of the bisquare, in scales; 0 = 5.92 (98 % efficient at normal errors)
}

// RobustLeveledLine fits the line of LeveledLine so that gross errors have no
// say: it starts from the blocked Sen slope and the medians of the blocks
// and takes in turn the scale (bisquare M-estimate, breakdown 0.25) and
// bisquare weights, both on residuals scaled for the level each block spends. Variance is
// Huber's (1973, Annals of Statistics 1, 799–821) with his correction for the
// number of coefficients.
//
// Where three quarters of the residuals are zero and no floor is given, Scale,
// Variance and SE are 0. Errors are those of LeveledLine.
func RobustLeveledLine(blocks []Series, o LeveledOptions) (*LeveledFit, error) {
	f, err := newLeveled(blocks)
	if err != nil {
		return nil, err
	}
	tuning := o.Tuning
	if tuning <= 0 {
		tuning = leveledTuning
	}
	f.start(blocks)
	stretch := f.stretch(blocks)
	f.Scale = o.Scale
	for range scaleRounds {
		if o.Scale <= 0 {
			f.Scale = leveledScale(f.Residuals, stretch)
		}
		if f.Scale = math.Max(f.Scale, o.Floor); f.Scale == 0 {
			return f, nil
		}
		f.reweigh(blocks, stretch, tuning)
		if o.Scale > 0 {
			break
		}
	}
	f.robustVariance(stretch, tuning)
	f.SE = math.Sqrt(f.Variance / f.Information)
	return f, nil
}

// reweigh iterates bisquare weights at the present scale until the slope rests.
func (f *LeveledFit) reweigh(blocks []Series, stretch [][]float64, tuning float64) {
	inverse := 1 / (tuning * f.Scale)
	for range leveledSteps {
		for i, r := range f.Residuals {
			w, s := f.Weights[i], stretch[i]
			for k := range r {
				w[k] = bisquareWeight(r[k] * s[k] * inverse)
			}
		}
		before := f.Slope
		if !f.weighted(blocks) || math.Abs(f.Slope-before)*math.Sqrt(f.Information) <= leveledTolerance*f.Scale {
			return
		}
	}
}

// start sets the slope to the blocked Sen slope, the levels to medians.
func (f *LeveledFit) start(blocks []Series) {
	pairs := 0
	for i, b := range blocks {
		if f.Residuals[i] != nil {
			pairs += len(b.T) * (len(b.T) - 1) / 2
		}
	}
	var slopes []float64
	for i, b := range blocks {
		if f.Residuals[i] == nil {
			continue
		}
		if pairs <= startPairs {
			for k := range b.T {
				for j := range k {
					if b.T[k] != b.T[j] {
						slopes = append(slopes, (b.Y[k]-b.Y[j])/(b.T[k]-b.T[j]))
					}
				}
			}
			continue
		}
		s := b
		if !rising(s.T) {
			s = inTimeOrder(s)
		}
		half := (len(s.T) + 1) / 2
		for k := half; k < len(s.T); k++ {
			if s.T[k] != s.T[k-half] {
				slopes = append(slopes, (s.Y[k]-s.Y[k-half])/(s.T[k]-s.T[k-half]))
			}
		}
	}
	f.Slope = 0
	if len(slopes) > 0 {
		f.Slope = Median(slopes)
	}
	for i, b := range blocks {
		r := f.Residuals[i]
		for k := range r {
			r[k] = b.Y[k] - f.Slope*b.T[k]
		}
		if r == nil {
			continue
		}
		f.Levels[i] = Median(r)
		for k := range r {
			r[k] -= f.Levels[i]
		}
	}
}

// leveledScale solves the mean of ρ of the residuals, each over scale and times
// its own stretch, = 0.25 for the scale by Newton's method; 0 where a quarter
// or fewer of the residuals differ from zero.
func leveledScale(residuals, stretch [][]float64) float64 {
	scale, nonzero, n := 0.0, 0.0, 0.0
	for i, r := range residuals {
		for k, v := range r {
			v *= stretch[i][k]
			scale += v * v
			n++
			if v != 0 {
				nonzero++
			}
		}
	}
	if nonzero <= leveledBreakdown*n {
		return 0
	}
	scale = math.Sqrt(scale / n)
	for range scaleSteps {
		var sum, slope float64
		inverse := 1 / (scale * leveledScaleTuning)
		for i, r := range residuals {
			for k, v := range r {
				u := v * stretch[i][k] * inverse
				u *= u
				if w := 1 - u; w > 0 {
					sum += 1 - w*w*w
					slope += 6 * u * w * w
				} else {
					sum++
				}
			}
		}
		// Newton's step for log scale; the fixed-point step, which is slower but
		// always the right way, where Newton's is wild.
		wanted := leveledBreakdown * n
		step := math.Sqrt(sum / wanted)
		if newton := (sum - wanted) / slope; math.Abs(newton) < 0.5 {
			step = math.Exp(newton)
		}
		scale *= step
		if math.Abs(step-1) < scaleTolerance {
			break
		}
	}
	return scale
}

// stretch brings each residual to the variance of its error: one over the
// standard deviation of residuals under independent errors of unit variance,
// √(1 - leverage).
func (f *LeveledFit) stretch(blocks []Series) [][]float64 {
	stretch := make([][]float64, len(blocks))
	for i, b := range blocks {
		if f.Residuals[i] == nil {
			continue
		}
		stretch[i] = make([]float64, len(b.T))
		mean := plainMean(b.T)
		for k, t := range b.T {
			// A leverage of 1 has no residual; the floor keeps the ratio finite.
			h := 1/float64(len(b.T)) + (t-mean)*(t-mean)/f.Information
			stretch[i][k] = 1 / math.Sqrt(math.Max(1-h, 0.01))
		}
	}
	return stretch
}

// robustVariance sets Variance from ψ and ψ' of the scaled residuals.
func (f *LeveledFit) robustVariance(stretch [][]float64, tuning float64) {
	var squares, slope, slope2 float64
	for i, r := range f.Residuals {
		for k, v := range r {
			u := v * stretch[i][k] / f.Scale
			x := u / tuning
			if w := 1 - x*x; w > 0 {
				psi, d := u*w*w, w*(w-4*x*x)
				squares += psi * psi
				slope += d
				slope2 += d * d
			}
		}
	}
	n := float64(f.N)
	mean := slope / n
	if mean <= 0 {
		f.Variance = math.Inf(1) // most of the values are set aside: nothing can be said
		return
	}
	p := float64(f.N - f.DF)
	k := 1 + p/n*math.Max(0, slope2/n-mean*mean)/(mean*mean)
	f.Variance = k * k * f.Scale * f.Scale * (squares / n) / (mean * mean)
}
