package drift

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/stats/num"
	"pleatstat/stats/panel"
	"pleatstat/stats/rank"
)

const (
	// mostPoints is the largest number of openings an entry keeps for drawing, and
	// allPoints that of all entries together unless it leaves fewer than fewPoints
	// for each; beyond it every second, third, … opening is kept.
	mostPoints = 2000
	allPoints  = 200_000
	fewPoints  = 50
	// searched is the largest number of openings of one entry used in the search
	// for the date of a change; beyond it every second, third, … is used.
	searched = 600
	// watchChance is the probability that running watches over all entries raise
	// any alarm in a log where nothing changes; it is divided among the entries.
	watchChance = falseRate
	watchSlack  = 0.5 // optimal for a shift of one standard deviation
)

// finish completes one entry: its points and, for a change, its description and
// the alarm.
func (k *candidate) finish(points int) error {
	k.points(k.o, points)
	if !k.Moved() {
		return nil
	}
	k.alarm(k.o.origin)
	return k.change(k.o.origin)
}

// points keeps the openings used, sorted by time, at most about the given number.
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
		return cmp.Or(cmp.Compare(o.when[opening(a)], o.when[opening(b)]), cmp.Compare(o.line(opening(a)), o.line(opening(b))))
	})
	k.Points = make([]Observation, 0, len(kept))
	for _, p := range kept {
		b, at := k.blocks[p.block], opening(p)
		year, value := o.when[at], k.values[at]
		k.Points = append(k.Points, Observation{
			When: toTime(year), Year: year, Part: b.part, Line: o.line(at), Value: value,
			Deviation: (k.m.scale.on(value) - k.market.At(year-o.origin) - means[p.block]) * k.unit,
		})
	}
}

// shiftAt estimates the size of a step at a date.
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

// thinned returns the openings used in the search for the date of a change.
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

// alarm runs a CUSUM over the openings in order of time: each is compared with
// the mean of the earlier openings of its part, in standard errors (recursive
// residuals, which are independent as long as nothing changes; Brown, Durbin and
// Evans 1975, J. R. Statist. Soc. B 37, 149–192).
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
				// Bounded, so that a single slip of the pen does not raise the alarm.
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

// watchCut bounds a standardised residual in the CUSUM.
const watchCut = 3.0
