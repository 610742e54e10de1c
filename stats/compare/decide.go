package compare

import (
	"cmp"
	"math"
	"slices"

	"pleatstat/dataset/catalogue"
	"pleatstat/stats/num"
	"pleatstat/stats/panel"
)

// hold sets what differences of a measure are compared with: the best basis that
// is known.
func (b *bench) hold(m *Measure) {
	s := b.scatter[m.Column]
	m.Scatter, m.Relative, m.Pairs = math.NaN(), s.relative, s.pairs
	switch {
	case s.sd > 0:
		m.Basis, m.Scatter = ByOpenings, s.sd
	case b.kind == OfMakers:
		m.Basis = ByNothing
	case exact(m.Column):
		m.Basis = ByFact
	case b.freedom(m.Column) > 0:
		m.Basis = ByReadings
	default:
		m.Basis = ByStep
	}
}

// difference returns the difference of two values and its p.
func (b *bench) difference(m Measure, x, y Value) Difference {
	nan := math.NaN()
	d := Difference{By: y.Mean - x.Mean, Ratio: y.Mean / x.Mean, BenchLimit: b.limit(m.Column, x, y), P: nan, Q: nan}
	if x.Mean == 0 {
		d.Ratio = nan
	}
	d.BeyondBench = exceeds(math.Abs(d.By), d.BenchLimit)
	if d.Limit = d.BenchLimit; m.Basis == ByNothing {
		d.Limit = nan
	}
	if math.IsNaN(d.By) || x.Stale || y.Stale {
		return d // nothing to compare, or nothing about today's parts
	}
	switch m.Basis {
	case ByOpenings:
		s := b.scatter[m.Column]
		unit := 1.0 // of the scale of the comparison, in base units
		if s.relative {
			unit = math.Exp((x.scaled + y.scaled) / 2)
		}
		se := s.sd * math.Sqrt(1/float64(x.N)+1/float64(y.N))
		if floor := math.Hypot(x.SE, y.SE) / unit; floor > se {
			se = floor
		}
		// Where a maker keeps changing a measure, time between openings adds to the
		// difference.
		apart := math.Abs(x.moved - y.moved)
		if !s.relative {
			apart *= math.Abs(x.Mean+y.Mean) / 2
		}
		se = math.Hypot(se, apart)
		df := math.Min(s.df, panel.MeansTailDF(b.tail, x.N, y.N))
		d.P = num.StudentP(y.scaled-x.scaled, se, df)
		for _, mine := range x.sound(s.sd) {
			for _, other := range y.sound(s.sd) {
				if d.P = math.Max(d.P, num.StudentP(mine-other, se, df)); (mine-other)*(x.scaled-y.scaled) < 0 {
					d.P = 1
				}
			}
		}
		limit := num.StudentQuantile(df, b.confidence) * se * unit
		if !(d.BenchLimit > limit) {
			d.Limit = limit
		}
	case ByReadings:
		d.P = num.StudentP(d.By, math.Hypot(x.SE, y.SE), float64(b.freedom(m.Column)))
	}
	return d
}

// slipFrom is how many standard deviations from the median of its part an opening
// must lie to be a possible slip of the pen.
const slipFrom = 3.5

// sound returns the means, on the scale of the comparison, that a value may have
// if one opening is a slip: a difference between parts must not rest on it. Of
// three or more openings the one farthest from the median may be a slip, of two
// that lie far apart either.
func (v Value) sound(sd float64) []float64 {
	out := []float64{v.scaled}
	switch n := len(v.each); {
	case n == 2 && math.Abs(v.each[0]-v.each[1]) > slipFrom*sd*math.Sqrt2:
		out = append(out, v.each...)
	case n > 2:
		middle, far := num.Median(v.each), 0
		for i, one := range v.each {
			if math.Abs(one-middle) > math.Abs(v.each[far]-middle) {
				far = i
			}
		}
		if math.Abs(v.each[far]-middle) > slipFrom*sd {
			out = append(out, (float64(n)*v.scaled-v.each[far])/float64(n-1))
		}
	}
	return out
}

// decide corrects over the differences of the comparison, and sets which are
// beyond their limits and which product has most.
func (b *bench) decide(c *Comparison) {
	var p []float64
	var of []*Difference
	for i := range c.Measures {
		for k := range c.Measures[i].Differences {
			if d := &c.Measures[i].Differences[k]; !math.IsNaN(d.P) {
				p, of = append(p, d.P), append(of, d)
			}
		}
	}
	q, err := num.BenjaminiHochberg(p)
	if err != nil {
		q = slices.Repeat([]float64{1}, len(p)) // an invalid p: nothing differs
	}
	largest := 0.0 // largest p that is still significant
	for i, d := range of {
		if d.Q = q[i]; d.Q <= falseRate {
			largest = math.Max(largest, d.P)
		}
	}
	beyond := func(m *Measure, d Difference, x, y Value) bool {
		switch {
		case x.Stale || y.Stale || m.Basis == ByNothing:
			return false
		case math.IsNaN(d.P):
			return d.BeyondBench
		}
		return d.P <= largest && !(math.Abs(d.By) <= d.BenchLimit*(1+1e-9))
	}
	for i := range c.Measures {
		m := &c.Measures[i]
		for k := range m.Differences {
			m.Differences[k].Beyond = beyond(m, m.Differences[k], m.Values[0], m.Values[k+1])
		}
		var have []int
		for k, v := range m.Values {
			if v.N > 0 {
				have = append(have, k)
			}
		}
		slices.SortStableFunc(have, func(i, j int) int { return cmp.Compare(m.Values[j].Mean, m.Values[i].Mean) })
		most, next := m.Values[have[0]], m.Values[have[1]]
		if beyond(m, b.difference(*m, next, most), next, most) {
			m.Most = have[0]
		}
	}
}

// freedom returns the degrees of freedom of a column's repeatability: the least
// of those of its inputs; 0 where no cell holds several readings.
func (b *bench) freedom(name string) int {
	df := 0
	for _, column := range catalogue.Inputs(name) {
		if d := b.of(column).df; d > 0 && (df == 0 || d < df) {
			df = d
		}
	}
	return df
}
