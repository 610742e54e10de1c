package drift

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/rank"
)

const (
	// mostPoints is the largest number of openings an entry carries for drawing,
	// allPoints that of all entries together unless that leaves fewer than
	// fewPoints for each; of more, every second, third, … is kept.
	mostPoints = 2000
	allPoints  = 200_000
	fewPoints  = 50
	// searched is the largest number of openings of one entry that are searched
	// for the date of a change; of more, every second, third, … is taken.
	searched = 600
	// watchChance is the chance that a running watch over one entry in a log
	// where nothing changes ever raises an alarm, over all entries together.
	watchChance = 0.05
	watchSlack  = 0.5 // tuned to a shift of one standard deviation
)

// finish adds what is told about one entry: its points, the change and the
// alarm.
func (k *candidate) finish(o *openings, opts Options, points int, salt uint64) error {
	k.points(o, points)
	if k.Verdict != Falling && k.Verdict != Rising {
		return nil
	}
	k.alarm(o.origin)
	return k.change(o.origin, opts, salt)
}

// points lists the openings used, by time, at most that many.
func (k *candidate) points(o *openings, most int) {
	type place struct{ block, index int }
	total := 0
	for _, b := range k.blocks {
		total += len(b.at)
	}
	every := max(1, (total+most-1)/most)
	if every > 1 {
		k.warn("one opening in %d is kept for drawing", every)
	}
	var kept []place
	means := make([]float64, len(k.blocks))
	seen := 0
	for j, b := range k.blocks {
		means[j] = k.mean(b)
		for i := range b.at {
			if seen%every == 0 {
				kept = append(kept, place{j, i})
			}
			seen++
		}
	}
	opening := func(p place) int32 { return k.blocks[p.block].at[p.index] }
	slices.SortFunc(kept, func(a, b place) int {
		return cmp.Or(cmp.Compare(o.opened[opening(a)], o.opened[opening(b)]), cmp.Compare(o.line(opening(a)), o.line(opening(b))))
	})
	k.Points = make([]Observation, 0, len(kept))
	for _, p := range kept {
		b, at := k.blocks[p.block], opening(p)
		year, value := o.opened[at], k.values[at]
		k.Points = append(k.Points, Observation{
			When: toTime(year), Year: year, Part: b.part, Line: o.line(at), Value: value,
			Deviation: (k.m.scale.on(value) - k.marketAt(year-o.origin) - means[p.block]) * k.unit,
		})
	}
}

// change finds when the values moved, and by how much where it was a step.
func (k *candidate) change(origin float64, o Options, salt uint64) error {
	blocks := k.thinned()
	options := panel.ChangeOptions{Seed: o.Seed + salt, Orders: o.Resamples, Floor: k.floor}
	if k.noise != nil {
		options.Prior, options.PriorDF = math.Max(k.noise.shared.Prior, k.floor*k.floor), k.noise.shared.PriorDF
	}
	f, err := panel.FixedEffectsChange(blocks, options)
	var few *num.TooFewError
	if errors.As(err, &few) {
		return nil
	}
	if err != nil {
		return err
	}
	k.StepP = f.P
	if k.AsStep {
		f.Shape = panel.Stepped
	}
	switch f.Shape {
	case panel.Bent:
		slope, low, high := k.sinceBend(blocks, f)
		if !k.along(slope) {
			return nil
		}
		k.ChangeGradual, k.ChangePerYear, k.ChangePerYearLow, k.ChangePerYearHigh = true, slope, low, high
		k.ChangeFrom, k.ChangeEarly, k.ChangeLate = toTime(origin+f.BendFrom), toTime(origin+f.BendEarly), toTime(origin+f.BendLate)
	case panel.Stepped:
		from, early, late := f.StepFrom, f.StepEarly, f.StepLate
		h, err := shiftAt(blocks, from)
		if k.byStep && (err != nil || !k.along(h.Shift)) {
			// The date that fits best holds another step than the one tested.
			from, early, late = k.testFrom, math.Min(early, k.testFrom), math.Max(late, k.testFrom)
			h, err = shiftAt(blocks, from)
		}
		if errors.As(err, &few) || err == nil && !k.along(h.Shift) {
			k.AsStep = k.byStep
			return nil
		}
		if err != nil {
			return err
		}
		k.ChangeFrom, k.ChangeEarly, k.ChangeLate = toTime(origin+from), toTime(origin+early), toTime(origin+late)
		k.Step, k.StepLow, k.StepHigh = h.Shift*k.unit, h.Low*k.unit, h.High*k.unit
		if math.IsInf(h.Low, 0) || math.IsInf(h.High, 0) { // too few to bound it
			k.StepLow, k.StepHigh = math.NaN(), math.NaN()
		}
	}
	return nil
}

// along says whether a change goes the way of the verdict.
func (k *candidate) along(change float64) bool {
	return change < 0 && k.Verdict == Falling || change > 0 && k.Verdict == Rising
}

// shiftAt is the size of a step at a date.
func shiftAt(blocks []num.Series, from float64) (rank.HodgesLehmannFit, error) {
	var before, after [][]float64
	for _, b := range blocks {
		var early, late []float64
		for i, t := range b.T {
			if t < from {
				early = append(early, b.Y[i])
			} else {
				late = append(late, b.Y[i])
			}
		}
		before, after = append(before, early), append(after, late)
	}
	return rank.HodgesLehmann(before, after, confidence)
}

// thinned are the openings among which the date of a change is searched.
func (k *candidate) thinned() []num.Series {
	n := k.df + k.Blocks + 1
	if n <= searched {
		return k.series
	}
	every := (n + searched - 1) / searched
	blocks := make([]num.Series, len(k.series))
	for j, b := range k.series {
		for i := 0; i < len(b.T); i += every {
			blocks[j].T, blocks[j].Y = append(blocks[j].T, b.T[i]), append(blocks[j].Y, b.Y[i])
		}
	}
	return blocks
}

// sinceBend is the movement a year from a bend on and its range. The date of the
// bend is not known exactly, so the widest of the ranges from its earliest, its
// likeliest and its latest date is taken; NaN where a date leaves too few
// openings after it.
func (k *candidate) sinceBend(blocks []num.Series, f *panel.ChangeFit) (slope, low, high float64) {
	slope, low, high = f.Slope, math.Inf(1), math.Inf(-1)
	for _, date := range []float64{f.BendEarly, f.BendFrom, f.BendLate} {
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
			return f.Slope * k.unit, math.NaN(), math.NaN()
		}
		if date == f.BendFrom {
			slope = line.Slope
		}
		l, h := line.Interval(confidence)
		low, high = math.Min(low, l), math.Max(high, h)
	}
	return slope * k.unit, low * k.unit, high * k.unit
}

// alarm runs a CUSUM over the openings as they came: each is compared with the
// mean of the earlier openings of its part, in units of its standard error
// (recursive residuals, which are independent as long as nothing changes;
// Brown, Durbin and Evans 1975, J. R. Statist. Soc. B 37, 149–192).
func (k *candidate) alarm(origin float64) {
	type event struct{ t, z float64 }
	sd := math.Max(math.Sqrt(k.variance), k.floor)
	if !(sd > 0) || math.IsInf(sd, 0) {
		return
	}
	var events []event
	for _, b := range k.series {
		mean := 0.0
		for i, y := range b.Y {
			if n := float64(i); i > 0 {
				z := (y - mean) / (sd * math.Sqrt(1+1/n))
				// One slip of the pen alone must not raise the alarm.
				events = append(events, event{b.T[i], math.Max(-watchCut, math.Min(watchCut, z))})
			}
			mean += (y - mean) / float64(i+1)
		}
	}
	slices.SortStableFunc(events, func(a, b event) int { return cmp.Compare(a.t, b.t) })
	z := make([]float64, len(events))
	for i, e := range events {
		z[i] = e.z
	}
	h := panel.CUSUMLimit(len(z), watchSlack, k.level*watchChance/falseRate)
	r, err := panel.CUSUM(z, panel.CUSUMOptions{K: watchSlack, H: h})
	if err != nil || r.Alarm < 0 || r.Downward != (k.Verdict == Falling) {
		return
	}
	k.AlarmFrom = toTime(origin + events[r.Alarm].t)
}

// watchCut bounds a standardised residual in the running watch.
const watchCut = 3.0
