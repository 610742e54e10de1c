package check

import (
	"container/heap"
	"math"
	"math/bits"
	"slices"
	"strings"
	"sync"

	"pleatstat/dataset"
	"pleatstat/stats/slip"
)

// slips finds the readings that are off and reports, where it can, what was
// meant. The clearest slip of the whole log is undone first, so that it no longer
// counts against the part's other openings or the rest of its row.
func slips(t *table, m *model, f *findings) {
	rows := m.suspects()
	waiting := m.firstGains(rows)
	heap.Init(&waiting)
	original := map[int]row{}
	for len(waiting) > 0 {
		w := &waiting[0]
		x := t.blank
		t.load(w.row, &x)
		v, ok := m.search(w.row, &x)
		switch {
		case !ok || m.leftOpen(&x, &v):
			heap.Pop(&waiting)
			continue
		case v.best.gain < w.gain:
			w.gain = v.best.gain // another row may be clearer by now
			heap.Fix(&waiting, 0)
			continue
		}
		if _, seen := original[w.row]; !seen {
			original[w.row] = x
		}
		as := original[w.row]
		m.report(w.row, &x, &v, f)
		for _, ch := range v.best.changes {
			if m.breaks(ch.m, &as, anyLimit) {
				f.aside(w.row, ch.m.column())
			}
			t.value[ch.m][w.row] = ch.value
		}
		w.gain, w.slips = math.Inf(1), w.slips+1 // searched again next
		if w.slips == maxSlipsARow {
			heap.Pop(&waiting)
		}
	}
	for _, i := range rows {
		x := t.blank
		t.load(i, &x)
		m.unexplained(i, &x, f)
	}
}

// suspect is a row waiting to be searched, with an upper estimate of the gain of
// its next slip.
type suspect struct {
	row   int
	gain  float64
	slips int // found so far
}

// queue is a heap with the greatest gain on top, earlier rows before later.
type queue []suspect

func (q queue) Len() int { return len(q) }
func (q queue) Less(a, b int) bool {
	if q[a].gain != q[b].gain {
		return q[a].gain > q[b].gain
	}
	return q[a].row < q[b].row
}
func (q queue) Swap(a, b int) { q[a], q[b] = q[b], q[a] }
func (q *queue) Push(x any)   { *q = append(*q, x.(suspect)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// firstGains searches every suspect row by itself.
func (m *model) firstGains(rows []int) queue {
	gains := make([]float64, len(rows))
	var work sync.WaitGroup
	const block = 64
	for from := 0; from < len(rows); from += block {
		work.Go(func() {
			x := m.t.blank
			for j := from; j < min(from+block, len(rows)); j++ {
				m.t.load(rows[j], &x)
				if v, ok := m.search(rows[j], &x); ok {
					gains[j] = v.best.gain
				}
			}
		})
	}
	work.Wait()
	var out queue
	for j, i := range rows {
		out = append(out, suspect{row: i, gain: gains[j]})
	}
	return out
}

// unexplained reports limits that are still broken: some reading in them is
// impossible, and nothing shows which. All their readings are set aside, except
// those that another opening of the part confirms.
func (m *model) unexplained(i int, x *row, f *findings) {
	for k := range m.limits {
		l := &m.limits[k]
		if !l.broken(x) {
			continue
		}
		var doubted []measure
		for _, c := range l.of {
			if z := m.siblingZ(i, c, x[c]); x[c] == x[c] && !(z < supported) {
				doubted = append(doubted, c)
			}
		}
		if len(doubted) == 0 {
			for _, c := range l.of {
				if x[c] == x[c] {
					doubted = append(doubted, c)
				}
			}
		}
		for _, c := range doubted {
			f.aside(i, c.column())
		}
		message := l.says(x, m.t.show) + "; left out of the fits"
		if len(doubted) > 1 {
			message += ", since nothing says which of " + names(doubted) + " is off"
		}
		f.at(i, doubted[0].column(), dataset.Doubtful, message)
		for _, c := range doubted { // reported once
			x[c] = math.NaN()
		}
	}
}

// leftOpen reports whether two readings could equally well be wrong in a row that
// breaks a limit; the readings in the limit are then treated as impossible
// together.
func (m *model) leftOpen(x *row, v *verdict) bool {
	if v.otherReading < v.best.gain-undecidedGain {
		return false
	}
	return slices.ContainsFunc(v.best.changes, func(ch change) bool {
		return m.breaks(ch.m, x, func(l *limit) bool { return len(l.of) > 1 })
	})
}

// report reports one slip, with the intended value where it is clear.
func (m *model) report(i int, x *row, v *verdict, f *findings) {
	c := &v.best
	k := c.changes[0].m
	cell, ok := m.t.log.Cell(i, k.column())
	if !ok {
		return
	}
	reason := m.reason(i, k, x, cell)
	rival := max(v.otherValue, v.otherReading)
	sure := c.gain > clearGain && rival < c.gain-rivalGain && m.borneOut(i, x, c)
	switch {
	case v.otherReading > c.gain-undecidedGain:
		f.at(i, k.column(), dataset.Doubtful, reason+"; this reading is off, or "+list(v.instead))
	case c.Kind == "" || v.otherValue > c.gain-undecidedGain:
		severity := dataset.Doubtful
		if k == canGauge {
			reason += m.t.impliedBeside(x)
		}
		if m.massAlone(i, k, x[k]) {
			reason += notMoved
		} else if m.onlySiblings(i, k, x) {
			severity = dataset.Note
			reason += ": measure again, or the part has changed"
		}
		f.at(i, k.column(), severity, reason)
	case c.Kind == slip.Swap:
		other := c.changes[1].m
		cellB, okB := m.t.log.Cell(i, other.column())
		if !okB {
			return
		}
		if m.sharpest(i, k, x) < m.sharpest(i, other, x) {
			if reason = m.reason(i, other, x, cellB); strings.HasPrefix(reason, ofOthers) {
				reason = "of " + words(other) + ", " + reason
			}
		}
		why := reason + "; " + words(k) + " and " + words(other) + " fit the other way round"
		f.at(i, k.column(), dataset.Doubtful, why)
		f.suggest(i, k.column(), numberText(cellB), why, c.Kind, sure)
		f.suggest(i, other.column(), numberText(cell), why, c.Kind, sure)
	default:
		intended := m.t.without(&c.Slip, cell, k, c.changes[0].value)
		why := reason + "; " + c.Meant(intended) + " fits"
		f.at(i, k.column(), dataset.Doubtful, why)
		f.suggest(i, k.column(), intended, why, c.Kind, sure)
	}
}

// impliedBeside states the can gauge that mass, size and material imply, where
// these were measured.
func (t *table) impliedBeside(x *row) string {
	if g := impliedGauge(x); g > 0 && !math.IsInf(g, 0) {
		return " (its mass and size make it " + t.show(canGauge, g) + ")"
	}
	return ""
}

// borneOut reports whether a slip rests on more than one other opening of the
// part, or on other evidence in the row: with only two openings either could be
// wrong.
func (m *model) borneOut(i int, x *row, c *candidate) bool {
	var touched uint64
	y := *x
	fewest := math.MaxInt
	for _, ch := range c.changes {
		touched |= 1 << ch.m
		y[ch.m] = ch.value
		others := 0
		for _, j := range m.t.openings(i) {
			if v := m.t.value[ch.m][j]; j != i && v == v {
				others++
			}
		}
		fewest = min(fewest, others)
	}
	return fewest > 1 || m.evidence(x, touched)-m.evidence(&y, touched)-c.penalty > 0
}

// onlySiblings reports whether only the part's other openings contradict a
// reading.
func (m *model) onlySiblings(i int, k measure, x *row) bool {
	if m.breaks(k, x, anyLimit) {
		return false
	}
	for set := m.touching[k]; set != 0; set &= set - 1 {
		if r := &m.relations[bits.TrailingZeros64(set)]; !r.marginal() && math.Abs(r.z(x)) > gate {
			return false
		}
	}
	return true
}

// reason states the strongest evidence against a reading.
func (m *model) reason(i int, k measure, x *row, cell dataset.Cell) string {
	show := m.t.asWritten(k, x[k], cell)
	var plainest *limit // prefers a limit on two readings over one on more, and on several over one
	for set := m.bounding[k]; set != 0; set &= set - 1 {
		l := &m.limits[bits.TrailingZeros64(set)]
		if l.broken(x) && (plainest == nil || len(plainest.of) == 1 || len(l.of) < len(plainest.of)) {
			plainest = l
		}
	}
	if plainest != nil {
		return plainest.says(x, show)
	}
	if z := m.siblingZ(i, k, x[k]); z > gate {
		return m.others(i, k)
	}
	var worst *scaled
	far := 0.0
	for set := m.touching[k]; set != 0; set &= set - 1 {
		r := &m.relations[bits.TrailingZeros64(set)]
		if z := math.Abs(r.z(x)); z > far && (worst == nil || !r.marginal()) {
			worst, far = r, z
		}
	}
	if worst == nil {
		return "out of line"
	}
	if worst.marginal() {
		return "usual in this log is about " + m.t.show(k, math.Exp(worst.centre))
	}
	return worst.name + " is " + times(worst.ratio(x)/math.Exp(worst.centre)) + " the usual"
}

const ofOthers = "this part's other opening"

// others states the range of the part's other openings.
func (m *model) others(i int, k measure) string {
	low, high, n := math.Inf(1), math.Inf(-1), 0
	for _, j := range m.t.openings(i) {
		if v := m.t.value[k][j]; j != i && v == v {
			low, high, n = min(low, v), max(high, v), n+1
		}
	}
	a, b := m.t.show(k, low), m.t.show(k, high)
	switch {
	case n == 1:
		return ofOthers + " has " + a
	case a == b:
		return ofOthers + "s have " + a
	}
	return ofOthers + "s have " + a + " to " + b
}

// list names the readings that changes replace.
func list(of []change) string {
	var out []measure
	for _, ch := range of {
		out = append(out, ch.m)
	}
	return names(out)
}

func names(of []measure) string {
	phrases := make([]string, len(of))
	for i, m := range of {
		phrases[i] = words(m)
	}
	if len(phrases) < 2 {
		return strings.Join(phrases, "")
	}
	return strings.Join(phrases[:len(phrases)-1], ", ") + " and " + phrases[len(phrases)-1]
}
