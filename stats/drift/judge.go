package drift

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

const (
	// falseRate is the false discovery rate over makers: the expected share of
	// those named that changed nothing. In a log where nothing changed, it is the
	// probability of any verdict of change.
	falseRate = trend.FalseDiscoveryRate
	// makerShare of a measure's level is spent on the maker's own entry, the rest
	// on its single parts.
	makerShare = 0.9
	// power is the probability of finding a change that is called detectable.
	power = 0.80
)

// judge corrects for multiple testing and sets the verdicts.
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

// decide sets the verdict of a tested entry and the change it could have
// detected.
func (k *candidate) decide() {
	slope := k.PerYear / k.unit
	change := math.Abs(slope) * k.span
	switch {
	case k.byStep:
		slope, change = k.testStep, math.Abs(k.testStep)
	case slope*k.testSlope < 0:
		// The robust line treats as slips what the test counts: openings before or
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

// more returns how many more openings, spread in time like those so far, would
// detect the reference change; 0 if none are needed, -1 if no number would do.
func (k *candidate) more(seen, t, reference float64) int {
	if seen <= reference {
		return 0
	}
	// The uncertainty of the market does not shrink with more openings of this
	// maker; nor does the reading step.
	wanted := reference*reference/(t*t) - k.extra
	if wanted <= 0 || k.least/k.span > reference {
		return -1
	}
	return max(1, int(math.Ceil(float64(k.N)*(k.variance/k.information/wanted-1))))
}

// oneStep reports whether all openings of every part lie within one reading step.
func (k *candidate) oneStep() bool {
	for _, b := range k.series {
		low, high := math.Inf(1), math.Inf(-1)
		for _, y := range b.Y {
			low, high = math.Min(low, y), math.Max(high, y)
		}
		if high-low > 1.01*k.step { // 1 % for the rounding of decimals
			return false
		}
	}
	return k.step > 0
}

// tooFew states how many openings a verdict needs.
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

// lacking returns how many more openings of the most often opened part are
// needed.
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

// amount formats a change on the scale of the fit.
func (k *candidate) amount(change float64) string {
	switch {
	case k.m.scale != absolute:
		return fmt.Sprintf("%.2g %%", 100*change)
	case k.m.unit == "":
		return fmt.Sprintf("%.2g %s", change, k.m.name)
	}
	return fmt.Sprintf("%.2g %s", change, k.m.unit)
}
