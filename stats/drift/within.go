package drift

import (
	"math"
	"slices"

	"pleatstat/stats/market"
	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

const (
	// minDF is the least number of degrees of freedom (openings minus one level
	// per part and the slope) for a verdict: with fewer, not even a perfect line
	// is significant once many makers are tested.
	minDF = 4
	// minSpan is the least time in years between the first and the last opening
	// for a yearly change to be meaningful.
	minSpan = 0.5
	// minForPart is the least number of days on which a part was opened for an
	// entry of its own.
	minForPart = 6
	// mostParts is the largest number of parts with an entry of their own for one
	// measure: those opened most often. Nobody reads a longer list.
	mostParts = 200
	// confidence is the level of every interval.
	confidence = trend.Confidence
)

// candidate is an entry with the working values of its analysis.
type candidate struct {
	Entry
	o      *openings
	m      *measure
	blocks []block // parts opened at different times
	once   []block // parts opened at one time only
	series []num.Series
	unit   float64 // size of one unit of the fit's scale in the entry's unit
	floor  float64 // standard deviation due to rounding and repeatability, fit's scale
	least  float64 // smallest change that the bench can resolve, fit's scale
	step   float64 // reading step, fit's scale
	span   float64 // years from the first to the last opening used
	df     int     // of the line before moderation; below minDF there is no test

	variance, testVariance, extra float64 // of the line, of the test, and the variance that the market adds to the slope's
	information                   float64
	se, seDF                      float64 // fit's scale
	level                         float64 // p up to which a lone test would be announced

	noise          *noise  // of the measure; nil where steps are not tested
	ownFrom, ownTo int     // range of this maker's residuals in noise
	byStep         bool    // P is that of the step test
	testSlope      float64 // slope of the deciding test, fit's scale
	testStep       float64 // step that was tested, fit's scale
	testFrom       float64 // its date, years from openings.origin

	noMarket bool      // a price without enough other makers to compare with
	values   []float64 // of the measure, one per opening
	market   market.Curve
}

// followMeasure fits one measure of every maker.
func followMeasure(o *openings, m *measure, seed uint64) ([]*candidate, error) {
	values := o.gather(m.name)
	if values == nil {
		return nil, nil
	}
	var makers []*candidate
	for _, mk := range o.makers {
		k := &candidate{o: o, m: m, Entry: blank(mk.name, "", m), unit: 1, values: values}
		if k.DatedBy = byOpening; mk.byCode {
			k.DatedBy = byCode
		}
		for _, b := range o.blocks(mk, values, m.scale) {
			if b.repeated() {
				k.blocks = append(k.blocks, b)
			} else {
				k.once = append(k.once, b)
			}
		}
		n := 0
		for _, b := range append(k.blocks[:len(k.blocks):len(k.blocks)], k.once...) {
			n += len(b.at)
		}
		if n < 2 {
			continue
		}
		makers = append(makers, k)
	}
	reading := readingOf(o, m)
	var all []*candidate
	least := partsFrom(makers)
	for _, k := range makers {
		k.prepare(reading)
		all = append(all, k)
		if len(k.blocks) < 2 {
			continue
		}
		for _, b := range k.blocks {
			if len(b.series.T) < least {
				continue
			}
			p := &candidate{o: o, m: m, Entry: blank(k.Maker, b.part, m), unit: 1, values: values, blocks: []block{b}}
			p.DatedBy = k.DatedBy
			p.prepare(reading)
			all = append(all, p)
		}
	}
	if m.scale == toMarket {
		removeMarket(all)
	}
	if err := fit(all, seed); err != nil {
		return nil, err
	}
	singles(o, m, makers)
	return all, nil
}

// removeMarket subtracts the movement of the other makers' prices from every
// candidate.
func removeMarket(all []*candidate) {
	var makers [][]num.Series
	place := map[string]int{}
	for _, k := range all {
		if k.Part == "" {
			place[k.Maker] = len(makers)
			makers = append(makers, k.series)
		}
	}
	curves := market.Others(makers)
	for _, k := range all {
		k.market = curves[place[k.Maker]]
		if k.noMarket = !k.market.Known(); !k.noMarket {
			k.series, k.extra = k.market.Remove(k.series)
		}
	}
}

// partsFrom returns the number of days on which a part must have been opened for
// an entry of its own, such that at most mostParts get one.
func partsFrom(makers []*candidate) int {
	var days []int
	for _, k := range makers {
		for _, b := range k.blocks {
			days = append(days, len(b.series.T))
		}
	}
	if len(days) <= mostParts {
		return minForPart
	}
	slices.Sort(days)
	return max(minForPart, days[len(days)-mostParts-1]+1)
}

// blank returns an entry without numbers.
func blank(maker, part string, m *measure) Entry {
	nan := math.NaN()
	e := Entry{
		Maker: maker, Part: part, Measure: m.name, Unit: m.unit, Verdict: TooFew,
		PerYear: nan, Low: nan, High: nan, P: nan, Q: nan, SlopeP: nan, WitnessP: nan, WitnessSlope: nan,
		Step: nan, StepLow: nan, StepHigh: nan, ChangePerYear: nan, ChangePerYearLow: nan, ChangePerYearHigh: nan, Detectable: nan, MoreOpenings: -1,
		SinglesSlope: nan, SinglesLow: nan, SinglesHigh: nan,
		CombinedPerYear: nan, CombinedLow: nan, CombinedHigh: nan,
		Statement: Statement{By: nan, Low: nan, High: nan},
	}
	if m.scale == toMarket {
		e.Relative, e.Unit = true, "%"
	}
	return e
}

// reading is the reading step and the repeatability of a measure, relative to the
// value for measures on a logarithmic scale.
type reading struct{ step, repeat float64 }

// readingOf returns the reading step and repeatability of a measure, combined
// from its columns for a derived one. Zero where the log does not show them.
func readingOf(o *openings, m *measure) reading {
	log := o.log
	if m.scale == toMarket {
		return reading{} // a price has no measurement error
	}
	var steps, repeats float64
	for _, name := range m.columns() {
		typical := 1.0
		if m.scale == proportional {
			typical = o.typical[name]()
		}
		if step := log.Resolution(name) / typical; step > 0 {
			steps = math.Hypot(steps, step)
		}
		r := log.Repeatability(name)
		if r.DF > 0 {
			// The logged value is the mean of the readings of its cell.
			mean := r.SD / math.Sqrt(float64(r.Readings)/float64(r.Cells)) / typical
			if mean > 0 {
				repeats = math.Hypot(repeats, mean)
			}
		}
	}
	return reading{step: steps, repeat: repeats}
}

// medianOf returns the median of the finite values; NaN without any. It
// overwrites values.
func medianOf(values []float64) float64 {
	known := values[:0]
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			known = append(known, v)
		}
	}
	return num.Median(known)
}

// prepare sets counts, span and what the bench can resolve.
func (k *candidate) prepare(r reading) {
	low, high := math.Inf(1), math.Inf(-1)
	n := 0
	for _, b := range k.blocks {
		k.series = append(k.series, b.series)
		k.N += len(b.at)
		n += len(b.series.T)
		low, high = min(low, slices.Min(b.series.T)), max(high, slices.Max(b.series.T))
	}
	k.Blocks = len(k.blocks)
	k.df = n - k.Blocks - 1
	if k.Blocks > 0 {
		k.span = high - low
	}
	if k.m.scale == proportional && n > 0 {
		logs := make([]float64, 0, n)
		for _, b := range k.series {
			logs = append(logs, b.Y...)
		}
		k.unit = math.Exp(num.Mean(logs))
	}
	k.step = r.step
	// Rounding error is uniform over a step; repeatability adds to it.
	k.floor = math.Hypot(r.step/math.Sqrt(12), r.repeat)
	// A change is announced only above the reading step, and above the standard
	// deviation of the difference between two single values.
	k.least = math.Max(r.step, math.Sqrt2*r.repeat)
}

// tested reports whether there is enough data for a verdict.
func (k *candidate) tested() bool {
	return k.Blocks > 0 && k.df >= minDF && k.orders() >= minOrders && k.span >= minSpan && !k.noMarket
}

// minOrders is the logarithm of the least number of permutations within parts for
// which the two most extreme, one in either direction, have p at most gateP.
var minOrders = math.Log(2 / gateP)

// orders returns the logarithm of the number of distinct orders in which the
// openings of the parts could have come; openings at the same time are not
// ordered.
func (k *candidate) orders() float64 {
	factorial := func(n int) float64 { v, _ := math.Lgamma(float64(n) + 1); return v }
	total := 0.0
	for _, b := range k.series {
		total += factorial(len(b.T))
		for i := 0; i < len(b.T); {
			j := i + 1
			for j < len(b.T) && b.T[j] == b.T[i] {
				j++
			}
			if j-i > 1 {
				total -= factorial(j - i)
			}
			i = j
		}
	}
	return total + 1e-9 // allows for rounding of the logarithms
}
