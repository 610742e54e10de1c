package compare

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"pleatstat/dataset/catalogue"
)

// bench is the repeatability of the log's measurements, applied to one
// comparison.
type bench struct {
	*ledger
	kind       Kind
	subjects   []subject
	confidence float64
	known      map[string]repeat
	columns    map[string][]float64
	scatter    map[string]scatter
	tail       float64 // degrees of freedom of the t distribution that fits the tails of the scatter
}

// repeat is the repeatability of one column.
type repeat struct {
	sd, step float64 // base units; NaN where the log does not show it
	df       int     // degrees of freedom of sd
	readings map[int]int
}

func newBench(l *ledger, kind Kind, subjects []subject, confidence float64) *bench {
	b := &bench{ledger: l, kind: kind, subjects: subjects, confidence: confidence, known: map[string]repeat{}, columns: map[string][]float64{}}
	b.scatter, b.tail = l.scatters(l.log.Names(), kind)
	return b
}

// of returns the repeatability of a recorded column.
func (b *bench) of(name string) repeat {
	if r, ok := b.known[name]; ok {
		return r
	}
	pooled := b.log.Repeatability(name)
	r := repeat{sd: pooled.SD, df: pooled.DF, step: b.log.Resolution(name), readings: map[int]int{}}
	if counts(name) {
		r.step = math.NaN() // a count is not rounded
	}
	for _, c := range b.log.Repeats(name) {
		r.readings[c.Row] = c.N
	}
	if r.df == 0 && (math.IsNaN(r.step) || !(b.scatter[name].sd > 0) && b.instrument(name) > r.step) {
		r.step = b.instrument(name)
	}
	b.known[name] = r
	return r
}

// instrument returns the step of the instrument that a column is usually measured
// with (Step in its catalogue entry), for logs that show neither repeated readings
// nor the scatter between openings of one part; for a tape read in inches an
// eighth (common practice, no source). The last digit of a cell says nothing
// about the instrument. NaN for what is counted, claimed or computed.
func (b *bench) instrument(name string) float64 {
	const tape, inch, eighth = 1.0, 25.4, 25.4 / 8
	c, ok := catalogue.LookUp(name)
	switch {
	case !ok || c.Derived || counts(name) || !(c.Step > 0):
		return math.NaN()
	case c.Kind == catalogue.KindLength && c.Step >= tape && math.Abs(b.log.Units().Of(name).PerBase*inch-1) < 0.01:
		return eighth
	}
	return c.Step
}

// variance returns the variance of one reading: that of repeated readings, and at
// least that of rounding to the step (step²/12, a uniform distribution: JCGM
// 100:2008, 4.3.7). NaN where neither is known.
func (r repeat) variance() float64 {
	rounding := r.step * r.step / 12
	switch v := r.sd * r.sd; {
	case math.IsNaN(v):
		return rounding
	case math.IsNaN(rounding):
		return v
	default:
		return math.Max(v, rounding)
	}
}

// value returns the mean of a column over the units of a product that count, with
// its standard error from the repeatability of the bench.
func (b *bench) value(name string, product int) Value {
	v := Value{Mean: math.NaN(), SE: math.NaN()}
	values, ok := b.columns[name]
	if !ok {
		values = b.values(name)
		b.columns[name] = values
	}
	if values == nil {
		return v
	}
	r := b.of(name)
	var units [][]int
	units, v.Stale = b.today(b.subjects[product], name, values)
	sum, scaled, share := 0.0, 0.0, 0.0
	how := b.scatter[name]
	for _, rows := range units {
		k, one := float64(len(rows)), 0.0
		for _, row := range rows {
			sum += values[row] / k
			one += how.scale(values[row]) / k
			share += 1 / float64(max(r.readings[row], 1)) / (k * k)
		}
		scaled += one
		v.each = append(v.each, one)
	}
	if v.N = len(units); v.N == 0 {
		return v
	}
	n := float64(v.N)
	v.Mean, v.scaled = sum/n, scaled/n
	v.moved = b.moving(b.subjects[product], name, units)
	switch {
	case exact(name):
		v.SE = 0
	case counts(name) && r.df == 0:
		v.SE = 0 // see limit
	case computed(name):
		if v.SE = b.carried(name, product, v.Mean); math.IsNaN(v.SE) && name == "media_area" {
			v.SE = math.Sqrt(r.variance() * share / (n * n)) // recorded as an area
		}
	default:
		v.SE = math.Sqrt(r.variance() * share / (n * n))
	}
	return v
}

// carried returns the standard error of a derived mean, propagated to first order
// from the columns of its formula (JCGM 100:2008, 5.1.2, with the derivatives of
// 5.1.3 by finite differences), assuming independent errors; NaN where one of
// them is not known.
func (b *bench) carried(name string, product int, mean float64) float64 {
	inputs, formula := catalogue.Formula(name)
	x, errors, known := make([]float64, len(inputs)), make([]float64, len(inputs)), true
	for i, column := range inputs {
		x[i] = math.NaN() // NaN means absent to a formula: no spring, no recorded area
		_, is := catalogue.LookUp(column)
		if known = known && is; is && column != name {
			v := b.value(column, product)
			x[i], errors[i] = v.Mean, v.SE
		}
	}
	at := formula(x)
	if math.IsNaN(at) {
		return at
	}
	sum := 0.0
	for i, v := range x {
		if math.IsNaN(v) || errors[i] == 0 {
			continue
		}
		h := 1e-5 * v
		x[i] = v + h
		more := formula(x)
		x[i] = v - h
		part := (more - formula(x)) / (2 * h) * errors[i]
		x[i] = v
		sum += part * part
	}
	if !known { // the material is not a number: it enters through the mean alone
		sum *= mean / at * mean / at
	}
	return math.Sqrt(sum)
}

// computed reports whether a measure is computed from others.
func computed(name string) bool {
	_, formula := catalogue.Formula(name)
	return formula != nil
}

// exact reports whether a column holds what is claimed or paid, and is neither
// measured nor counted.
func exact(name string) bool {
	c, ok := catalogue.LookUp(name)
	return ok && (c.Kind == catalogue.KindPercent || c.Kind == catalogue.KindParticle || c.Kind == catalogue.KindFlow ||
		c.Kind == catalogue.KindMoney && !c.Derived || name == "beta_ratio" || name == "bypass_opening_claimed")
}

// counts reports whether a column holds a count.
func counts(name string) bool {
	return catalogue.Facts(name).Kind == catalogue.KindCount
}

// miscount returns the difference between two mean counts that one miscount by
// the column's step in one opening makes: the limit where nothing was counted
// twice.
func miscount(name string, x, y Value) float64 {
	return catalogue.Facts(name).Step / float64(max(min(x.N, y.N), 1))
}

// limit returns the difference between two means that repeating the measurements
// alone may make at the bench's confidence: the quantile of Student's t times the
// standard error of the difference (the critical difference of ISO 5725-6:1994,
// 4.2, with t for 1.96 as the repeatability is estimated), and for a recorded
// measure at least one step of the scale. Counts use repeated counts where there
// are any, and miscount otherwise. 0 for what is paid or claimed; NaN where the
// log does not show it.
func (b *bench) limit(name string, x, y Value) float64 {
	switch {
	case exact(name):
		return 0
	case counts(name) && b.of(name).df == 0:
		return miscount(name, x, y)
	}
	df := b.freedom(name)
	quantile := distuv.UnitNormal.Quantile((1 + b.confidence) / 2)
	if df > 0 {
		quantile = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile((1 + b.confidence) / 2)
	}
	limit := quantile * math.Hypot(x.SE, y.SE)
	if step := b.of(name).step; !computed(name) && !counts(name) && !math.IsNaN(step) {
		limit = math.Max(limit, step)
	}
	return limit
}

// warnings lists the measures whose repeatability the log does not show.
func (b *bench) warnings(measures []Measure) []string {
	var none, rounding []string
	for _, m := range measures {
		switch {
		case m.Basis != ByStep || exact(m.Column) || counts(m.Column) || computed(m.Column):
		case math.IsNaN(b.of(m.Column).variance()):
			none = append(none, strings.ReplaceAll(m.Column, "_", " "))
		case b.of(m.Column).df == 0:
			rounding = append(rounding, strings.ReplaceAll(m.Column, "_", " "))
		}
	}
	var out []string
	if none != nil {
		out = append(out, "what the bench can repeat is not known, so no difference is told, of "+strings.Join(none, ", "))
	}
	if rounding != nil {
		out = append(out, "no part was opened often enough and no cell holds several readings, so only the step of the instrument is allowed for, of "+strings.Join(rounding, ", "))
	}
	return out
}
