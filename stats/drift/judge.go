package drift

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

const (
	// falseRate is over makers: of those named, the share that changed nothing; in
	// a log where nothing changed, the chance of any verdict at all.
	falseRate = trend.FalseDiscoveryRate
	// makerShare of a measure's level goes to the maker's own entry, the rest to
	// its single parts.
	makerShare = 0.9
	// power is the chance with which a change that is called detectable is found.
	power = 0.80
)

// judge corrects over everything tested and gives the verdicts.
func judge(all []*candidate) error {
	if err := correct(all); err != nil {
		return err
	}
	for _, k := range all {
		if math.IsNaN(k.P) {
			k.tooFew()
		} else {
			k.decide()
		}
	}
	return nil
}

// decide gives the verdict of a tested entry and what could have been seen.
func (k *candidate) decide() {
	slope := k.PerYear / k.unit
	change := math.Abs(slope) * k.span
	switch {
	case k.byStep:
		slope, change = k.testStep, math.Abs(k.testStep)
	case slope*k.testSlope < 0:
		// The line sets aside as slips what the test counts: openings before or
		// after a step.
		slope, change = k.testSlope, math.Abs(k.testSlope)*k.span
	}
	k.Verdict = NoChange
	switch {
	case k.Q > falseRate:
	case change <= k.least:
		k.warn("changes by %s over %.1f years, which is within what the bench reads and repeats; not announced",
			k.amount(change), k.span)
	case k.oneStep():
		k.warn("no two openings of one part differ by more than one step of the log; not announced")
	case slope < 0:
		k.Verdict = Falling
	default:
		k.Verdict = Rising
	}
	k.AsStep = k.Moved() && (k.byStep || slope*k.PerYear < 0)
	level := k.level
	if k.noise != nil {
		level *= 1 - stepShare
	}
	t := num.StudentQuantile(k.seDF, 1-level) + distuv.UnitNormal.Quantile(power)
	seen := math.Max(t*k.se, k.least/k.span)
	k.Detectable = seen * k.unit
	k.MoreOpenings = k.more(seen, t, k.m.reference)
	if k.Verdict == NoChange && seen <= k.m.reference {
		k.Verdict = Steady
	}
}

// more is the number of openings, spread in time as those so far, that would
// find the reference change.
func (k *candidate) more(seen, t, reference float64) int {
	if seen <= reference {
		return 0
	}
	// What the market adds to the uncertainty does not shrink with more of this
	// maker's openings; nor does the reading step.
	wanted := reference*reference/(t*t) - k.extra
	if wanted <= 0 || k.least/k.span > reference {
		return -1
	}
	return max(1, int(math.Ceil(float64(k.N)*(k.variance/k.information/wanted-1))))
}

// oneStep says whether all openings of every part lie within one reading step.
func (k *candidate) oneStep() bool {
	for _, b := range k.series {
		low, high := math.Inf(1), math.Inf(-1)
		for _, y := range b.Y {
			low, high = math.Min(low, y), math.Max(high, y)
		}
		if high-low > 1.01*k.step { // a hundredth for the rounding of decimals
			return false
		}
	}
	return k.step > 0
}

// tooFew says how many openings would do.
func (k *candidate) tooFew() {
	k.Verdict = TooFew
	switch {
	case k.noMarket:
		k.Needed = k.N
		k.warn("a price is judged against the movement of the other makers' prices, and too few of their parts were opened again")
	case k.Blocks == 0:
		k.Needed = minDF + 2
		k.warn("no part was opened at two different times; one part opened %d times would do", k.Needed)
	case k.df < minDF || k.orders() < minOrders:
		k.Needed = k.N + k.lacking()
		k.warn("needs %d openings of parts opened before; has %d", k.Needed, k.N)
	default:
		k.Needed = k.N + 1
		k.warn("all openings lie within %.0f weeks; one more after half a year would do", math.Max(1, math.Ceil(52*k.span)))
	}
}

// lacking is how many more openings of the part opened most often would do.
func (k *candidate) lacking() int {
	most := 0
	for _, b := range k.series {
		most = max(most, len(b.T))
	}
	orders := k.orders()
	for more := 1; ; more++ {
		if orders += math.Log(float64(most + more)); k.df+more >= minDF && orders >= minOrders {
			return more
		}
	}
}

func (k *candidate) warn(format string, args ...any) {
	k.Warnings = append(k.Warnings, fmt.Sprintf(format, args...))
}

// amount writes a change on the scale of the fit in words.
func (k *candidate) amount(change float64) string {
	switch {
	case k.m.scale != absolute:
		return fmt.Sprintf("%.2g %%", 100*change)
	case k.m.unit == "":
		return fmt.Sprintf("%.2g %s", change, k.m.name)
	}
	return fmt.Sprintf("%.2g %s", change, k.m.unit)
}
