package panel

import (
	"math"

	"pleatstat/stats/num"
)

const (
	// withinTuning gives the bisquare 98 % efficiency at normal errors; entry errors
	// lie far beyond it.
	withinTuning = 5.92

	// The scale is a bisquare M-estimate with breakdown point 0.25. Unlike a median
	// it does not jump if rounded values leave few distinct residuals.
	withinScaleTuning = 2.937015
	withinBreakdown   = 0.25

	scaleSteps      = 100
	scaleTolerance  = 1e-6 // relative
	scaleRounds     = 3    // rounds of estimating the scale, then the line
	withinSteps     = 100  // the M-step converges within a dozen
	withinTolerance = 1e-7 // of the slope, in units of Scale/√Information

	// startPairs is the largest number of pairs whose slopes are all listed for the
	// starting slope; above it, each value is paired only with the one half a block
	// later.
	startPairs = 2000
)

// FixedEffectsOptions are the options of RobustFixedEffects; the zero value means
// the defaults.
type FixedEffectsOptions struct {
	Scale  float64 // known residual scale, in units of y; 0 = estimated
	Floor  float64 // lower limit of the scale, since ties by rounding would pass for precision
	Tuning float64 // tuning constant of the bisquare, in scales; 0 = 5.92 (98 % efficient at normal errors)
	// Near is a fit of the same blocks at another scale whose slope and levels are
	// the starting values; nil = a Sen slope within blocks and medians.
	Near *FixedEffectsFit
}

// RobustFixedEffects fits the line of FixedEffects such that gross errors have no
// influence. It starts from a Sen slope within blocks and the medians of the
// blocks, and alternates between the scale (bisquare M-estimate, breakdown 0.25)
// and bisquare weights, both on residuals divided by √(1 - leverage). Variance is
// Huber's (1973, Annals of Statistics 1, 799–821), with his correction for the
// number of coefficients.
//
// If at least three quarters of the residuals are zero and no floor is given,
// Scale, Variance and SE are 0. Errors are those of FixedEffects.
func RobustFixedEffects(blocks []num.Series, o FixedEffectsOptions) (*FixedEffectsFit, error) {
	f, rows, err := newWithin(blocks)
	if err != nil {
		return nil, err
	}
	tuning := o.Tuning
	if tuning <= 0 {
		tuning = withinTuning
	}
	l := newRobustRows(rows, f.Information)
	if o.Near == nil {
		f.Slope = l.start(blocks)
	} else {
		f.Slope = l.startFrom(o.Near)
	}
	f.Scale = o.Scale
	known := false
	for range scaleRounds {
		if o.Scale <= 0 {
			f.Scale = withinScale(l.scaled(f.Slope), f.Scale)
		}
		if f.Scale = math.Max(f.Scale, o.Floor); f.Scale == 0 {
			known = true
			break
		}
		f.reweigh(l, tuning)
		if o.Scale > 0 {
			break
		}
	}
	l.leave()
	f.finish(rows)
	if known {
		return f, nil
	}
	f.robustVariance(l, tuning)
	f.SE = math.Sqrt(f.Variance / f.Information)
	return f, nil
}

// robustRows is the state of a robust fit. Its values are deviations from the
// starting level of each block; shift is the change of that level since.
type robustRows struct {
	*withinRows
	// stretch is 1/√(1 - leverage) of each value. Multiplied by it, a residual has
	// the variance of its error.
	stretch []float64
	shift   []float64
	sums    []blockSums
	room    []float64 // workspace, one number per value
}

// blockSums are the sums of one block: of the weights, and the weighted sums of
// times and residuals.
type blockSums struct{ w, t, r float64 }

func newRobustRows(rows *withinRows, information float64) *robustRows {
	n := len(rows.t)
	l := &robustRows{
		withinRows: rows, stretch: make([]float64, n), room: make([]float64, n),
		shift: make([]float64, len(rows.blocks)), sums: make([]blockSums, len(rows.blocks)),
	}
	for i := range rows.blocks {
		from, to := rows.from[i], rows.from[i+1]
		share := 1 / float64(to-from)
		for k := from; k < to; k++ {
			// At leverage 1 the residual is 0; the limit keeps stretch finite.
			h := share + rows.t[k]*rows.t[k]/information
			l.stretch[k] = 1 / math.Sqrt(math.Max(1-h, 0.01))
		}
	}
	return l
}

// start returns the median slope within blocks and sets the levels to the medians
// of the blocks about it.
func (l *robustRows) start(blocks []num.Series) float64 {
	pairs := 0
	for i := range l.blocks {
		n := l.from[i+1] - l.from[i]
		pairs += n * (n - 1) / 2
	}
	slopes := l.room[:0]
	for _, at := range l.blocks {
		b := blocks[at]
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
		if !num.Rising(b.T) {
			b = num.InTimeOrder(b)
		}
		half := (len(b.T) + 1) / 2
		for k := half; k < len(b.T); k++ {
			if b.T[k] != b.T[k-half] {
				slopes = append(slopes, (b.Y[k]-b.Y[k-half])/(b.T[k]-b.T[k-half]))
			}
		}
	}
	slope := 0.0
	if len(slopes) > 0 {
		slope = num.MedianIn(slopes)
	}
	for i := range l.blocks {
		t, y := l.block(i)
		rest := l.room[:len(y)]
		for k := range y {
			rest[k] = y[k] - slope*t[k]
		}
		l.level[i] = num.MedianIn(rest)
		for k := range y {
			y[k] -= l.level[i]
		}
	}
	return slope
}

// startFrom returns the slope of another fit and sets the levels to its levels.
func (l *robustRows) startFrom(near *FixedEffectsFit) float64 {
	for i, at := range l.blocks {
		_, y := l.block(i)
		l.level[i] = near.Levels[at] + near.Slope*l.mean[i]
		for k := range y {
			y[k] -= l.level[i]
		}
	}
	return near.Slope
}

// scaled returns the residuals about a slope times their stretch, in l.room.
func (l *robustRows) scaled(slope float64) []float64 {
	for i := range l.blocks {
		from := l.from[i]
		t, y := l.block(i)
		out, stretch := l.room[from:from+len(y)], l.stretch[from:from+len(y)]
		for k := range y {
			out[k] = (y[k] - l.shift[i] - slope*t[k]) * stretch[k]
		}
	}
	return l.room
}

// leave subtracts the shifts from the values and adds them to the levels.
func (l *robustRows) leave() {
	for i := range l.blocks {
		_, y := l.block(i)
		for k := range y {
			y[k] -= l.shift[i]
		}
		l.level[i] += l.shift[i]
		l.shift[i] = 0
	}
}

// reweigh iterates bisquare weights at the present scale until the slope
// converges.
func (f *FixedEffectsFit) reweigh(l *robustRows, tuning float64) {
	inverse := 1 / (tuning * f.Scale)
	for range withinSteps {
		step, ok := l.improve(f.Slope, inverse, f.Information)
		if !ok {
			return
		}
		f.Slope += step
		if math.Abs(step)*math.Sqrt(f.Information) <= withinTolerance*f.Scale {
			return
		}
	}
}

// improve takes one step of least squares with the bisquare weights of the present
// residuals: it moves the levels and returns the change of the slope. inverse is
// 1/(tuning·scale). It does nothing and returns false if the times with positive
// weight do not vary.
func (l *robustRows) improve(slope, inverse, information float64) (step float64, ok bool) {
	var cross, squares float64
	for i := range l.blocks {
		from := l.from[i]
		t, y := l.block(i)
		stretch := l.stretch[from : from+len(y)]
		shift := l.shift[i]
		var sum, sumT, sumR, tt, tr float64
		for k, at := range t {
			r := y[k] - shift - slope*at
			u := r * stretch[k] * inverse
			w := 1 - u*u
			if w <= 0 {
				continue
			}
			w *= w
			wt := w * at
			sum += w
			sumT += wt
			sumR += w * r
			tt += wt * at
			tr += wt * r
		}
		l.sums[i] = blockSums{sum, sumT, sumR}
		if sum > 0 {
			squares += tt - sumT*sumT/sum
			cross += tr - sumT*sumR/sum
		}
	}
	// If nearly all weights vanish, the slope would be rounding error.
	if !(squares > 1e-9*information) {
		return 0, false
	}
	step = cross / squares
	for i, s := range l.sums {
		if s.w > 0 {
			l.shift[i] += (s.r - step*s.t) / s.w
		} else { // no value has weight: keep the level at t = 0
			l.shift[i] += step * l.mean[i]
		}
	}
	return step, true
}

// withinScale solves mean ρ(r/scale) = 0.25 for the scale by Newton's method, from
// a guess (0 = the root mean square of the residuals). It returns 0 if at most a
// quarter of the residuals differ from zero. Each residual must have been scaled to
// the variance of its error.
func withinScale(residuals []float64, guess float64) float64 {
	square, nonzero, n := 0.0, 0, float64(len(residuals))
	for _, v := range residuals {
		square += v * v
		if v != 0 {
			nonzero++
		}
	}
	if float64(nonzero) <= withinBreakdown*n {
		return 0
	}
	scale := guess
	if scale <= 0 {
		scale = math.Sqrt(square / n)
	}
	for range scaleSteps {
		var sum, slope float64
		inverse := 1 / (scale * withinScaleTuning)
		for _, v := range residuals {
			u := v * inverse
			u *= u
			if w := 1 - u; w > 0 {
				w2 := w * w
				sum += 1 - w2*w
				slope += u * w2
			} else {
				sum++
			}
		}
		// Newton's step for log scale; if it is large, the fixed-point step, which is
		// slower but always moves towards the root.
		wanted := withinBreakdown * n
		step := math.Sqrt(sum / wanted)
		if newton := (sum - wanted) / (6 * slope); math.Abs(newton) < 0.5 {
			step = math.Exp(newton)
		}
		scale *= step
		if math.Abs(step-1) < scaleTolerance {
			break
		}
	}
	return scale
}

// robustVariance sets Variance from ψ and ψ′ of the scaled residuals.
func (f *FixedEffectsFit) robustVariance(l *robustRows, tuning float64) {
	var squares, slope, slope2 float64
	inverse := 1 / f.Scale
	for k, v := range l.y {
		u := v * l.stretch[k] * inverse
		x := u / tuning
		if w := 1 - x*x; w > 0 {
			psi, d := u*w*w, w*(w-4*x*x)
			squares += psi * psi
			slope += d
			slope2 += d * d
		}
	}
	n := float64(f.N)
	mean := slope / n
	if mean <= 0 {
		f.Variance = math.Inf(1) // too many values have no weight
		return
	}
	p := float64(f.N - f.DF)
	k := 1 + p/n*math.Max(0, slope2/n-mean*mean)/(mean*mean)
	f.Variance = k * k * f.Scale * f.Scale * (squares / n) / (mean * mean)
}
