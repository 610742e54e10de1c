package drift

import (
	"math"
	"slices"

	"pleatstat/stats/market"
	"pleatstat/stats/num"
	"pleatstat/stats/trend"
)

const (
	// minDF is the least number of openings beyond one level a part and the
	// slope for which a verdict is given: with fewer, not even a perfect line
	// is told from chance once many makers are looked at.
	minDF = 4
	// minSpan is the least time in years between the first and the last opening
	// for a change a year to have a meaning.
	minSpan = 0.5
	// minForPart is the least number of days on which a part was opened for a
	// line of its own.
	minForPart = 6
	// mostParts is the largest number of parts with a line of their own for one
	// measure: those opened most often. A longer list is read by nobody.
	mostParts = 200
	// confidence of every range.
	confidence = trend.Confidence
)

// candidate is an entry on its way.
type candidate struct {
	Entry
	o      *openings
	m      *measure
	blocks []block // parts opened at different times
	once   []block // parts opened at one time only
	series []num.Series
	unit   float64 // what one unit of the fit's scale is in the entry's
	floor  float64 // standard deviation that rounding alone leaves, fit's scale
	least  float64 // change the bench can tell from none, fit's scale
	step   float64 // reading step, fit's scale
	span   float64 // years from the first to the last opening used
	df     int     // of the line before moderation; below minDF nothing is tested

	variance, testVariance, extra float64 // of the line's slope, of the test's, and what the market adds to SE²
	information                   float64
	se, seDF                      float64 // fit's scale
	level                         float64 // p below which a lone test would be announced

	noise          *noise  // of the measure; nil where no step is tested for
	ownFrom, ownTo int     // this maker's residuals in it
	byStep         bool    // P is that of the step
	testSlope      float64 // of the deciding test, fit's scale
	testStep       float64 // the step that was tested, fit's scale
	testFrom       float64 // its date, on the fit's clock

	noMarket bool      // a price without other makers to compare it with
	values   []float64 // of the measure, one an opening
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

// removeMarket takes the movement of the other makers' prices from every
// candidate's.
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

// partsFrom is the number of days on which a part must have been opened to get
// a line of its own, so that there are at most mostParts of them.
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

// blank is an entry without numbers.
func blank(maker, part string, m *measure) Entry {
	nan := math.NaN()
	e := Entry{
		Maker: maker, Part: part, Measure: m.name, Unit: m.unit, Verdict: TooFew,
		PerYear: nan, Low: nan, High: nan, P: nan, Q: nan, SlopeP: nan, WitnessP: nan, WitnessSlope: nan,
		Step: nan, StepLow: nan, StepHigh: nan, ChangePerYear: nan, ChangePerYearLow: nan, ChangePerYearHigh: nan, Detectable: nan, MoreOpenings: -1,
		SinglesSlope: nan, SinglesLow: nan, SinglesHigh: nan,
		CombinedPerYear: nan, CombinedLow: nan, CombinedHigh: nan,
		Told: Told{By: nan, Low: nan, High: nan},
	}
	if m.scale == toMarket {
		e.Relative, e.Unit = true, "%"
	}
	return e
}

// reading is how finely and how well the bench reads a measure, as a share of
// the value for measures on a logarithmic scale.
type reading struct{ step, repeat float64 }

// readingOf looks the reading up; a derived measure's follows from the columns
// it is made of. Zero where the log does not tell.
func readingOf(o *openings, m *measure) reading {
	log := o.log
	if m.scale == toMarket {
		return reading{} // a price is what it is
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

// medianOf is the median of the numbers among values, which it changes; NaN
// without any.
func medianOf(values []float64) float64 {
	known := values[:0]
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			known = append(known, v)
		}
	}
	return num.Median(known)
}

// prepare counts what there is and sets what the bench can tell.
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
	// Rounding to a step spreads evenly over it; reading it again adds what the
	// bench repeats to.
	k.floor = math.Hypot(r.step/math.Sqrt(12), r.repeat)
	// A change is announced only above the step, and above the standard
	// deviation of the difference between two values read once.
	k.least = math.Max(r.step, math.Sqrt2*r.repeat)
}

// tested says whether there is enough for a verdict.
func (k *candidate) tested() bool {
	return k.Blocks > 0 && k.df >= minDF && k.orders() >= minOrders && k.span >= minSpan && !k.noMarket
}

// minOrders is the logarithm of the number of orders within parts of which the
// rarest two, one in either direction, pass the gate.
var minOrders = math.Log(2 / gateP)

// orders is the logarithm of the number of different orders in which the
// openings of the parts could have come; those at one time have none.
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
	return total + 1e-9 // rounding of the logarithms
}
