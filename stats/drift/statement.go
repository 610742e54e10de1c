package drift

import (
	"errors"
	"math"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

// change finds when the values moved and describes it by what fits better: a
// step, a slope, or a slope from a date on. Directions, estimates and intervals
// are settled only here.
func (k *candidate) change(origin float64) error {
	blocks := k.thinned()
	options := panel.ChangeOptions{Floor: k.floor}
	if k.noise != nil {
		options.Prior, options.PriorDF = math.Max(k.noise.shared.Prior, k.floor*k.floor), k.noise.shared.PriorDF
	}
	f, err := panel.FixedEffectsChange(blocks, options)
	var few *num.TooFewError
	switch {
	case errors.As(err, &few):
		f = nil
	case err != nil:
		return err
	}
	var ways []func() bool
	step := func() bool { return k.stateStep(blocks, f, origin) }
	bend := func() bool { return k.stateBend(blocks, f, origin) }
	switch {
	case f == nil:
		ways = append(ways, k.stateSlope)
	case k.AsStep:
		ways = append(ways, step, k.stateSlope, bend)
	case f.Shape == panel.Stepped:
		ways = append(ways, step, k.stateSlope)
	case f.Shape == panel.Bent:
		ways = append(ways, bend, k.stateSlope, step)
	default:
		ways = append(ways, k.stateSlope, step)
	}
	for _, way := range append(ways, func() bool { return k.stateTested(origin) }) {
		if way() {
			break
		}
	}
	k.agree()
	k.unfold()
	return nil
}

// state adopts an estimate if it has the direction of the verdict and lies in its
// interval. An unbounded interval becomes NaN.
func (k *candidate) state(shape Shape, by, low, high float64) bool {
	if math.IsInf(low, 0) || math.IsInf(high, 0) || math.IsNaN(low+high) {
		low, high = math.NaN(), math.NaN()
	}
	if k.Verdict == Falling != (by < 0) || by == 0 || math.IsNaN(by) || by < low || by > high {
		return false
	}
	k.Statement = Statement{Shape: shape, By: by, Low: low, High: high}
	return true
}

func (k *candidate) stateSlope() bool { return k.state(AsSlope, k.PerYear, k.Low, k.High) }

func (k *candidate) stateStep(blocks []num.Series, f *panel.ChangeFit, origin float64) bool {
	h, err := shiftAt(blocks, f.StepFrom)
	if err != nil || !k.state(AsStep, h.Shift*k.unit, h.Low*k.unit, h.High*k.unit) {
		return false
	}
	k.Statement.From, k.Statement.Early, k.Statement.Late = toTime(origin+f.StepFrom), toTime(origin+f.StepEarly), toTime(origin+f.StepLate)
	return true
}

// stateBend describes the change as a slope from a date on, if its interval
// excludes zero.
func (k *candidate) stateBend(blocks []num.Series, f *panel.ChangeFit, origin float64) bool {
	by, low, high := k.sinceBend(blocks, f)
	if !(low*high > 0) || !k.state(AsSlopeSince, by, low, high) {
		return false
	}
	k.Statement.From, k.Statement.Early, k.Statement.Late = toTime(origin+f.BendFrom), toTime(origin+f.BendEarly), toTime(origin+f.BendLate)
	return true
}

// stateTested uses the estimate of the test, where no fit of the uncut values
// agrees with it: the test cuts slips, and its estimates are smaller for it.
func (k *candidate) stateTested(origin float64) bool {
	if k.byStep {
		k.Statement = Statement{Shape: AsStep, By: k.testStep * k.unit, Low: math.NaN(), High: math.NaN()}
		k.Statement.From = toTime(origin + k.testFrom)
		k.Statement.Early, k.Statement.Late = k.Statement.From, k.Statement.From
		return true
	}
	half := num.StudentQuantile(k.seDF, confidence) * math.Sqrt(k.testVariance/k.information+k.extra) * k.unit
	by := k.testSlope * k.unit
	k.Statement = Statement{Shape: AsSlope, By: by, Low: by - half, High: by + half}
	return true
}

// agree makes PerYear agree with the verdict: where the line points the other
// way, PerYear is replaced by the reported change, a step spread over the years.
func (k *candidate) agree() {
	if k.Verdict == Falling == (k.PerYear < 0) && k.PerYear != 0 {
		return
	}
	years := 1.0
	if k.Statement.Shape == AsStep {
		years = k.span
	}
	k.PerYear, k.Low, k.High = k.Statement.By/years, k.Statement.Low/years, k.Statement.High/years
	k.CombinedPerYear, k.CombinedLow, k.CombinedHigh = math.NaN(), math.NaN(), math.NaN()
}

// unfold sets the fields of each shape from Statement.
func (k *candidate) unfold() {
	t, nan := k.Statement, math.NaN()
	k.ChangeFrom, k.ChangeEarly, k.ChangeLate = t.From, t.Early, t.Late
	k.Step, k.StepLow, k.StepHigh = nan, nan, nan
	k.ChangePerYear, k.ChangePerYearLow, k.ChangePerYearHigh = nan, nan, nan
	switch t.Shape {
	case AsStep:
		k.Step, k.StepLow, k.StepHigh = t.By, t.Low, t.High
	case AsSlopeSince:
		k.ChangeGradual = true
		k.ChangePerYear, k.ChangePerYearLow, k.ChangePerYearHigh = t.By, t.Low, t.High
	}
}

// sinceBend returns the change a year from a bend on and its interval. The date
// of the bend is uncertain, so the interval is the union of those from its
// earliest, most likely and latest date; NaN where a date leaves too few openings
// after it.
func (k *candidate) sinceBend(blocks []num.Series, f *panel.ChangeFit) (by, low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, date := range []float64{f.BendEarly, f.BendLate, f.BendFrom} {
		after := make([]num.Series, len(blocks))
		for i, b := range blocks {
			t := make([]float64, len(b.T))
			for j, at := range b.T {
				t[j] = math.Max(0, at-date)
			}
			after[i] = num.Series{T: t, Y: b.Y}
		}
		line, err := panel.RobustFixedEffects(after, panel.FixedEffectsOptions{Floor: k.floor})
		if err != nil {
			return math.NaN(), math.NaN(), math.NaN()
		}
		l, h := line.Interval(confidence)
		by, low, high = line.Slope*k.unit, math.Min(low, l*k.unit), math.Max(high, h*k.unit)
	}
	return by, low, high
}

// asTheirMakers describes the parts of a maker that moves along a slope in the
// same way: a step fits a few openings too easily.
func asTheirMakers(all []*candidate) {
	slopes := map[[2]string]bool{}
	for _, k := range all {
		if k.Part == "" && k.Moved() && k.Statement.Shape != AsStep {
			slopes[[2]string{k.Maker, k.Measure}] = true
		}
	}
	for _, k := range all {
		if k.Part != "" && k.Statement.Shape == AsStep && slopes[[2]string{k.Maker, k.Measure}] && k.stateSlope() {
			k.unfold()
		}
	}
}
