package check

import (
	"math"
	"math/bits"
	"slices"

	"pleatstat/stats/slip"
)

// change replaces one reading by another; NaN removes it.
type change struct {
	m     measure
	value float64 // base units
}

// candidate is one slip that could explain a row.
type candidate struct {
	slip.Slip // without a Kind: some reading is wrong, in no known way
	changes   []change
	penalty   float64
	gain      float64 // decrease in cost, less the penalty
}

// Penalties allow for how rare a slip is and how many of its kind could be tried
// on a row; like the cost they are on the scale of twice a log-likelihood. They
// were chosen so that a log without slips raises no alarms, which
// TestPlantedSlips checks.
const (
	penaltyFactor    = 18
	penaltySwap      = 24
	penaltyTurned    = 24
	penaltyUnknown   = 34
	leastGain        = 4  // a slip is reported when its gain exceeds this
	clearGain        = 25 // and is sure when its gain exceeds this
	rivalGain        = 12 // and no other explanation comes within this
	undecidedGain    = 4  // another explanation within this leaves the row undecided
	maxSlipsARow     = 3
	unknownSharpness = 6.0 // scales off before a reading is doubted without knowing what was meant
)

// verdict is the result of a search on one row.
type verdict struct {
	best candidate
	// Gains of the best rival explanations: one that gives the same reading
	// another value, and one that changes another reading.
	otherValue, otherReading float64
	instead                  []change // changes of the rival that changes another reading
}

// search finds the single slip that best explains row i, and its rivals. The
// result is false where no slip explains the row.
func (m *model) search(i int, x *row) (verdict, bool) {
	var v verdict
	set := m.implicated(i, x)
	if set == 0 {
		return v, false
	}
	list := m.candidates(i, x, set)
	best := -1
	for j := range list {
		if m.weigh(i, x, &list[j]) && (best < 0 || list[j].gain > list[best].gain) {
			best = j
		}
	}
	if best < 0 {
		return v, false
	}
	v.best = list[best]
	for j := range list {
		c := &list[j]
		switch {
		case c.gain <= leastGain || j == best:
		case !sameReadings(&v.best, c):
			if c.gain > v.otherReading && m.tied(x, &v.best, c) {
				v.otherReading, v.instead = c.gain, c.changes
			}
		case !sameValues(&v.best, c):
			v.otherValue = max(v.otherValue, c.gain)
		}
	}
	return v, true
}

// tied reports whether two explanations can be rivals for the same slip: they
// change a common reading, or a violated relation or limit connects the readings
// they change. Otherwise they are two independent slips.
func (m *model) tied(x *row, a, b *candidate) bool {
	ofA, ofB := a.touched(), b.touched()
	if ofA&ofB != 0 {
		return true
	}
	for i := range m.relations {
		if r := &m.relations[i]; r.mask&ofA != 0 && r.mask&ofB != 0 && r.off(x) {
			return true
		}
	}
	for i, of := range m.limitMask {
		if of&ofA != 0 && of&ofB != 0 && m.limits[i].broken(x) {
			return true
		}
	}
	return false
}

// touched returns the set of readings that a candidate changes, as bits.
func (c *candidate) touched() (set uint64) {
	for _, ch := range c.changes {
		set |= 1 << ch.m
	}
	return set
}

// candidates lists the slips to try on a row: every slip of one implicated
// reading, and the exchanges of two.
func (m *model) candidates(i int, x *row, set uint64) []candidate {
	var list []candidate
	for s := set; s != 0; s &= s - 1 {
		k := measure(bits.TrailingZeros64(s))
		if k != price { // a price is judged against contents, not here
			list = append(list, candidate{changes: []change{{k, math.NaN()}}, penalty: penaltyUnknown})
		}
		cell, ok := m.t.log.Cell(i, k.column())
		if !ok {
			continue
		}
		add := func(slips []slip.Slip, penalty float64) {
			for _, s := range slips {
				list = append(list, candidate{Slip: s, penalty: penalty, changes: []change{{k, s.Right(x[k])}}})
			}
		}
		add(slip.Of(k.kind(), m.t.unitOf(cell, k)), penaltyFactor)
		add(slip.Turned(cell.Text), penaltyTurned)
	}
	return append(list, m.swaps(i, x, set)...)
}

// sameReadings reports whether two explanations change the same readings.
func sameReadings(a, b *candidate) bool {
	return slices.EqualFunc(a.changes, b.changes, func(p, q change) bool { return p.m == q.m })
}

// sameValues reports whether two explanations of the same readings give them the
// same values. An explanation without a value (NaN) agrees with any.
func sameValues(a, b *candidate) bool {
	return slices.EqualFunc(a.changes, b.changes, func(p, q change) bool {
		return p.value != p.value || q.value != q.value || slip.Same(p.value, q.value)
	})
}

// weigh computes a candidate's gain; false where the candidate is rejected.
func (m *model) weigh(i int, x *row, c *candidate) bool {
	touched := c.touched()
	y := *x
	for _, ch := range c.changes {
		y[ch.m] = ch.value
	}
	if c.Kind == "" {
		k := c.changes[0].m
		if z := m.siblingZ(i, k, x[k]); z < supported || m.sharpest(i, k, x) < unknownSharpness {
			return false
		}
	} else {
		for _, ch := range c.changes {
			if m.own(i, ch.m, &y) > fits {
				return false
			}
		}
	}
	c.gain = m.cost(i, x, touched) - m.cost(i, &y, touched) - c.penalty
	least := float64(leastGain)
	if c.Kind == "" { // the log's own range alone is not enough to doubt a reading
		k := c.changes[0].m
		for set := m.touching[k]; set != 0; set &= set - 1 {
			if r := &m.relations[bits.TrailingZeros64(set)]; r.marginal() {
				least += weight(r.z(x))
			}
		}
	}
	if c.gain <= least {
		c.gain = 0
		return false
	}
	return true
}

// own returns how many scales a reading is off by the log's range or by the
// part's other openings, whichever is more.
func (m *model) own(i int, k measure, x *row) float64 {
	if m.breaks(k, x, func(l *limit) bool { return len(l.of) == 1 }) {
		return math.Inf(1)
	}
	return m.furthest(i, k, x, true)
}

// sharpest returns the strongest evidence against a reading other than the log's
// own range, in scales; +Inf where a limit is broken.
func (m *model) sharpest(i int, k measure, x *row) float64 {
	if m.breaks(k, x, anyLimit) {
		return math.Inf(1)
	}
	return m.furthest(i, k, x, false)
}

// furthest returns how many scales a reading is off by its part's other openings
// and by either the log's range (marginal) or the relations to other readings.
func (m *model) furthest(i int, k measure, x *row, marginal bool) float64 {
	var far float64
	if z := m.siblingZ(i, k, x[k]); z == z {
		far = z
	}
	for set := m.touching[k]; set != 0; set &= set - 1 {
		r := &m.relations[bits.TrailingZeros64(set)]
		if z := math.Abs(r.z(x)); r.marginal() == marginal && z == z {
			far = max(far, z)
		}
	}
	return far
}

// swaps lists the exchanges of two implicated cells: readings of one kind, or of
// neighbouring columns.
func (m *model) swaps(i int, x *row, set uint64) []candidate {
	var out []candidate
	var size row // size of each cell's unit in base units; 0 = not looked up yet
	sizeOf := func(k measure) float64 {
		if size[k] == 0 {
			if cell, ok := m.t.log.Cell(i, k.column()); ok {
				size[k] = m.t.unitSize(cell, k)
			} else {
				size[k] = math.NaN()
			}
		}
		return size[k]
	}
	for n, a := range m.t.have {
		for _, b := range m.t.have[n+1:] {
			if x[a] != x[a] || x[b] != x[b] || a == price || set&(1<<a) == 0 || set&(1<<b) == 0 || !m.t.mixedUp(a, b) {
				continue
			}
			// The numbers change places; the columns keep their units.
			r := sizeOf(a) / sizeOf(b)
			c := candidate{Slip: slip.Slip{Kind: slip.Swap}, penalty: penaltySwap, changes: []change{{a, x[b] * r}, {b, x[a] / r}}}
			if r == r && !slip.Same(x[a], c.changes[0].value) {
				out = append(out, c)
			}
		}
	}
	return out
}

// mixedUp reports whether two columns can be mistaken for each other.
func (t *table) mixedUp(a, b measure) bool {
	if a.kind() == b.kind() {
		return true
	}
	_, at := t.log.Header(a.column())
	_, bt := t.log.Header(b.column())
	return at-bt == 1 || bt-at == 1
}
