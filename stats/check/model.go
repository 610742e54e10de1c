package check

import (
	"math"
	"math/bits"
	"runtime"
	"sync"

	"pleatstat/stats/num"
)

// Thresholds of the search, in units of each scale of evidence.
const (
	// gate is how many scales off any evidence must be for a row to be searched.
	gate = 4.0

	// fits is how many scales off a reading may be and still fit.
	fits = 3.5

	// supported is how many scales from another opening of the same part a reading
	// may lie and be confirmed by it.
	supported = 2.5

	// siblingCap bounds the cost against the nearest other opening, so that two
	// openings with the same slip do not outvote physics.
	siblingCap = 60.0

	// brokenCost is the largest cost of a broken limit.
	brokenCost = 60.0

	// enough is the least number of readings from which the centre and scale of a
	// relation are estimated; with fewer they are taken from common practice.
	enough = 8

	// fewerReadings/n is the relative widening of a scale estimated from n
	// readings: a scale from eight readings is itself known to about a third.
	fewerReadings = 4.0
)

// scaled is a relation with its centre and scale in this log.
type scaled struct {
	relation
	centre, scale float64 // of the logarithm of the ratio
	low, high     float64 // range of the ratio within the gate
	mask          uint64
}

// z returns how many scales the row is off; NaN where a reading is blank.
func (s *scaled) z(x *row) float64 { return (math.Log(s.ratio(x)) - s.centre) / s.scale }

// off reports whether the row is beyond the gate.
func (s *scaled) off(x *row) bool {
	r := s.ratio(x)
	return r < s.low || r > s.high
}

// model is what the log and common practice expect of a row.
type model struct {
	t         *table
	relations []scaled
	limits    []limit
	limitMask []uint64
	touching  [maxMeasures]uint64 // relations of each measure, as bits
	bounding  [maxMeasures]uint64 // limits of each measure, as bits

	siblingScale [maxMeasures]float64
	usual        [maxMeasures][]between // by product
}

// between is a range of readings; a range of NaN contains every reading.
type between struct{ low, high float64 }

func mask(of []measure) uint64 {
	var m uint64
	for _, x := range of {
		m |= 1 << x
	}
	return m
}

func newModel(t *table) *model {
	m := &model{t: t}
	probe := t.blank // a typical row: NaN shows what this log's columns cannot compute
	for _, k := range t.have {
		u, p := k.facts().Usual, k.facts().Possible
		switch {
		case u.Middle > 0:
			probe[k] = u.Middle
		case p.Low > 0:
			probe[k] = math.Sqrt(p.Low * p.High)
		default:
			probe[k] = 1
		}
	}
	for _, l := range limits(t.have) {
		if e := l.excess(&probe); e == e || len(l.of) == 1 {
			m.limits = append(m.limits, l)
		}
	}
	for i, l := range m.limits {
		m.limitMask = append(m.limitMask, mask(l.of))
		for _, x := range l.of {
			m.bounding[x] |= 1 << i
		}
	}
	sample := t.sample()
	rows := make([]row, len(sample))
	for j, i := range sample {
		rows[j] = t.blank
		t.load(i, &rows[j])
	}
	for _, r := range relations(t.have) {
		if v := r.ratio(&probe); v != v {
			continue
		}
		s := scaled{relation: r, centre: math.Log(r.middle), scale: r.prior, mask: mask(r.of)}
		values := make([]float64, 0, len(rows))
		for j := range rows {
			if v := r.ratio(&rows[j]); v > 0 && !math.IsInf(v, 0) {
				values = append(values, math.Log(v))
			}
		}
		if len(values) >= enough {
			s.centre = num.Median(values)
			s.scale = max(r.floor, num.MAD(values)) * (1 + fewerReadings/float64(len(values)))
		}
		if s.scale == 0 {
			continue
		}
		s.low, s.high = math.Exp(s.centre-gate*s.scale), math.Exp(s.centre+gate*s.scale)
		for _, x := range r.of {
			m.touching[x] |= 1 << len(m.relations)
		}
		m.relations = append(m.relations, s)
	}
	m.siblings()
	return m
}

// siblingFloor is the least scale of the log readings of one part's openings:
// measurement error and production scatter alone do not make a reading doubtful.
// Common practice, no source.
func siblingFloor(m measure) float64 {
	switch m {
	case price, claimedParticle:
		return 0.15 // prices rise and shops differ
	case springMass, inletHoleDiameter, inletHoles:
		return 0.06
	}
	return 0.03
}

// siblings estimates how far openings of one part usually lie from its median,
// and for each product the range of readings that do not lie farther.
func (m *model) siblings() {
	var work sync.WaitGroup
	for _, x := range m.t.have {
		if f := x.facts(); f.Usual.Least > 0 || !f.MayBeZero {
			work.Go(func() {
				m.siblingsOf(x)
			})
		}
	}
	work.Wait()
}

func (m *model) siblingsOf(x measure) {
	t := m.t
	values := t.value[x]
	middle := make([]float64, t.products)
	pair := make([]bool, len(middle)) // exactly two readings
	var buffer, deviations []float64
	for p := range middle {
		buffer = buffer[:0]
		for _, i := range t.openingsOf(p) {
			if v := values[i]; v > 0 {
				buffer = append(buffer, v)
			}
		}
		middle[p] = math.NaN()
		pair[p] = len(buffer) == 2
		if len(buffer) < 2 {
			continue
		}
		// The log of the median equals the median of the logs, except for an even
		// number of readings far apart.
		middle[p] = math.Log(num.Median(buffer))
		if len(buffer) > 2 && len(deviations) < sampleRows {
			for _, v := range buffer {
				deviations = append(deviations, math.Log(v)-middle[p])
			}
		}
	}
	m.siblingScale[x] = siblingFloor(x)
	if len(deviations) >= enough {
		m.siblingScale[x] = max(m.siblingScale[x], num.MAD(deviations))
	}
	m.usual[x] = make([]between, len(middle))
	for p := range middle {
		near := gate * m.siblingScale[x]
		if pair[p] {
			near /= 2 // the middle lies half way between the two
		}
		m.usual[x][p] = between{math.Exp(middle[p] - near), math.Exp(middle[p] + near)}
	}
}

// siblingFar reports whether row i's reading may be far from those of the part's
// other openings: a cheap test for the first pass.
func (m *model) siblingFar(i int, x measure, v float64) bool {
	if m.usual[x] == nil || !(v > 0) {
		return false
	}
	u := m.usual[x][m.t.product[i]]
	return v < u.low || v > u.high
}

// nearestOf bounds how many other openings are compared.
const nearestOf = 60

// siblingZ returns how many scales a reading is from the nearest reading of the
// part's other openings; NaN where there is none.
func (m *model) siblingZ(i int, x measure, v float64) float64 {
	values := m.t.value[x]
	if values == nil || m.usual[x] == nil || !(v > 0) {
		return math.NaN()
	}
	others := m.t.openings(i)
	stride := 1 + (len(others)-1)/nearestOf
	below, above := 0.0, math.Inf(1)
	for k := 0; k < len(others); k += stride {
		switch w := values[others[k]]; {
		case others[k] == i || !(w > 0):
		case w <= v:
			below = max(below, w)
		default:
			above = min(above, w)
		}
	}
	if below == 0 && math.IsInf(above, 1) {
		return math.NaN()
	}
	return math.Log(min(v/below, above/v)) / m.siblingScale[x]
}

// weight returns the cost of evidence z scales off: z² up to the gate, then
// linear in |z| (Huber's loss); 0 for NaN, a blank reading.
func weight(z float64) float64 {
	z = min(math.Abs(z), 1000) // the log of zero is infinite
	switch {
	case z != z:
		return 0
	case z <= gate:
		return z * z
	}
	return gate * (2*z - gate)
}

// breaks reports whether the row breaks a limit on measure k of the given kind.
func (m *model) breaks(k measure, x *row, kind func(*limit) bool) bool {
	for set := m.bounding[k]; set != 0; set &= set - 1 {
		if l := &m.limits[bits.TrailingZeros64(set)]; kind(l) && l.broken(x) {
			return true
		}
	}
	return false
}

func anyLimit(*limit) bool { return true }

// cost returns the cost of a row over the relations, limits and other openings
// that concern the measures in touched.
func (m *model) cost(i int, x *row, touched uint64) float64 {
	total := m.evidence(x, touched)
	for set := touched; set != 0; set &= set - 1 {
		k := measure(bits.TrailingZeros64(set))
		total += min(siblingCap, weight(m.siblingZ(i, k, x[k])))
	}
	return total
}

// evidence is the part of the cost that comes from the row itself.
func (m *model) evidence(x *row, touched uint64) float64 {
	var relations, limits uint64
	var total float64
	for set := touched; set != 0; set &= set - 1 {
		k := bits.TrailingZeros64(set)
		relations |= m.touching[k]
		limits |= m.bounding[k]
	}
	for set := relations; set != 0; set &= set - 1 {
		total += weight(m.relations[bits.TrailingZeros64(set)].z(x))
	}
	for set := limits; set != 0; set &= set - 1 {
		total += m.limits[bits.TrailingZeros64(set)].cost(x)
	}
	return total
}

// suspects lists the rows in which anything is off, in file order.
func (m *model) suspects() []int {
	workers := runtime.GOMAXPROCS(0)
	found := make([][]int, workers)
	var work sync.WaitGroup
	for w := range workers {
		work.Go(func() {
			x := m.t.blank
			for i := w * m.t.n / workers; i < (w+1)*m.t.n/workers; i++ {
				m.t.load(i, &x)
				if m.off(i, &x) {
					found[w] = append(found[w], i)
				}
			}
		})
	}
	work.Wait()
	var out []int
	for _, rows := range found {
		out = append(out, rows...)
	}
	return out
}

func (m *model) off(i int, x *row) bool {
	for k := range m.relations {
		if m.relations[k].off(x) {
			return true
		}
	}
	for k := range m.limits {
		if m.limits[k].broken(x) {
			return true
		}
	}
	for _, k := range m.t.have {
		if m.siblingFar(i, k, x[k]) {
			return true
		}
	}
	return false
}

// implicated returns the measures involved in any evidence against the row, as
// bits.
func (m *model) implicated(i int, x *row) uint64 {
	var out uint64
	for k := range m.relations {
		if m.relations[k].off(x) {
			out |= m.relations[k].mask
		}
	}
	for k := range m.limits {
		if m.limits[k].broken(x) {
			out |= m.limitMask[k]
		}
	}
	for _, k := range m.t.have {
		if m.siblingZ(i, k, x[k]) > gate {
			out |= 1 << k
		}
	}
	for k := range measure(maxMeasures) {
		if x[k] != x[k] {
			out &^= 1 << k
		}
	}
	return out
}
