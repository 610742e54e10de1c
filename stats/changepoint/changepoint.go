// Package changepoint finds parts that became another filter under the same number.
//
// Where all readings of several measures, from more than one group of can, pack,
// base plate and whole, lie on one side before an opening and on the other from
// it on, by more than openings of one part differ and by less than a slip would
// make them, the openings from there on are of another filter. An opening alone
// may be one as well. Ranges are compared, not means, so that a single odd
// reading makes no change; the limits are common practice, without a source.
//
// It is news and no slip. A log can't tell a redesign from another supplier or
// plant.
package changepoint

import (
	"cmp"
	"math"
	"math/bits"
	"runtime"
	"slices"
	"sync"

	"pleatstat/dataset"
	"pleatstat/stats/num"
)

const (
	// LeastMeasures is how many measures of one opening must move together
	// for it to be another filter under the same number. Fewer are slips or a
	// change of that one thing.
	LeastMeasures = 3

	// LeastGroups is how many of can, pack, base plate and whole they must
	// come from: pleats, media length and media mass move together by
	// themselves.
	LeastGroups = 2

	// LeastMoved is how far, as a share, the nearest readings of before and
	// after must lie apart. Openings of one part differ by a few per cent.
	// Common practice, no source.
	LeastMoved = 0.075

	// MostMoved: what differs by more than this factor is a slip.
	MostMoved = 2.0
)

// Change is an opening from which on, or at which alone, a part is not the same
// filter any more.
type Change struct {
	Row    int     // the first opening of the other filter
	Line   int     `json:"line"`
	Maker  string  `json:"maker"`
	Part   string  `json:"part"`
	Before int     `json:"openings_before"` // before it (of an opening alone: all others)
	After  int     `json:"openings_since"`  // from it on, those that agree
	Alone  bool    `json:"alone"`           // later openings are as the earlier ones
	Moved  []Moved `json:"moved"`
}

// Moved is one measure of a change, base units.
type Moved struct {
	Column string  `json:"column"`
	Before float64 `json:"before"` // medians over the openings
	After  float64 `json:"after"`
}

// groups are the parts of a filter that measures belong to, in canonical order.
var groups = []struct {
	column string
	of     int
}{
	{"can_od", can}, {"can_height", can},
	{"total_mass", whole}, {"base_plate_mass", plate}, {"element_mass", pack}, {"can_mass", can}, {"media_mass", pack},
	{"can_gauge", can}, {"base_plate_gauge", plate}, {"inlet_holes", plate}, {"inlet_hole_diameter", plate},
	{"pleats", pack}, {"element_width", pack}, {"media_length", pack}, {"media_thickness", pack},
}

const (
	can = iota
	pack
	plate
	whole
)

// measure is one that a change is looked for in.
type measure struct {
	column string
	group  int
	value  []float64 // by row; NaN = blank
}

// search is a log's measures and dates.
type search struct {
	log    *dataset.Log
	follow []measure
	opened []float64 // decimal year; nil where the log has no dates
}

// Find looks at the openings of each product, given by their rows in file order.
// It returns the changes in order of row and, of each product that has one, the
// rows of the other filter. value gives a column's readings by row, in base
// units and NaN where blank; nil for a column that the log lacks.
func Find(log *dataset.Log, value func(column string) []float64, products [][]int) (changes []Change, apart [][]int) {
	t := search{log: log, opened: log.Floats("opened")}
	for _, g := range groups {
		if v := value(g.column); v != nil {
			t.follow = append(t.follow, measure{g.column, g.of, v})
		}
	}
	if len(t.follow) < LeastMeasures {
		return nil, nil
	}
	workers := runtime.GOMAXPROCS(0)
	found := make([][]Change, workers)
	rows := make([][][]int, workers)
	var work sync.WaitGroup
	for w := range workers {
		work.Go(func() {
			for _, of := range products[w*len(products)/workers : (w+1)*len(products)/workers] {
				if c, other := t.changeOf(of); other != nil {
					found[w], rows[w] = append(found[w], c), append(rows[w], other)
				}
			}
		})
	}
	work.Wait()
	changes = slices.Concat(found...)
	slices.SortFunc(changes, func(a, b Change) int { return cmp.Compare(a.Row, b.Row) })
	return changes, slices.Concat(rows...)
}

// changeOf looks at one product; other are the rows of the other filter, nil for
// none.
func (t *search) changeOf(rows []int) (c Change, other []int) {
	if len(rows) < 2 || !t.spread(rows) {
		return Change{}, nil
	}
	order := rows
	if t.opened != nil {
		order = slices.DeleteFunc(slices.Clone(rows), func(i int) bool { return t.opened[i] != t.opened[i] })
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(t.opened[a], t.opened[b]) })
	}
	r := t.running(order)
	best, at := 0, 0
	for s := 1; s < len(order); s++ {
		if t.opened != nil && t.opened[order[s]] == t.opened[order[s-1]] {
			continue // of one day: no before and after
		}
		if n := t.apart(func(m int) (before, after reach) { return r.upTo[m][s], r.from[m][s] }); n > best {
			best, at = n, s
		}
	}
	if best > 0 {
		return t.change(order[at], len(order)-at, false, order[:at], order[at:]), order[at:]
	}
	for k := 1; k < len(order)-1; k++ { // an opening alone: the ends were looked at
		n := t.apart(func(m int) (others, it reach) {
			return r.upTo[m][k].with(r.from[m][k+1]), t.follow[m].ends(order[k : k+1])
		})
		if n > 0 {
			return t.change(order[k], 1, true, slices.Delete(slices.Clone(order), k, k+1), order[k:k+1]), order[k : k+1]
		}
	}
	return Change{}, nil
}

// reach is the least and the greatest of some readings; NaN of none.
type reach struct{ low, high float64 }

var noReach = reach{math.NaN(), math.NaN()}

func (a reach) with(b reach) reach {
	switch {
	case a.low != a.low:
		return b
	case b.low != b.low:
		return a
	}
	return reach{min(a.low, b.low), max(a.high, b.high)}
}

// apart says whether all readings of before and after differ, by no more than a
// slip would.
func (before reach) apart(after reach) bool {
	up, down := after.low/before.high, before.low/after.high
	return max(up, down) > 1+LeastMoved && max(after.high/before.low, before.high/after.low) <= MostMoved
}

// running holds, for every measure, the reach of the openings up to each one
// and from each one on.
type running struct{ upTo, from [][]reach }

func (t *search) running(order []int) running {
	var r running
	n := len(order)
	for k := range t.follow {
		m := &t.follow[k]
		up, from := make([]reach, n+1), make([]reach, n+1)
		up[0], from[n] = noReach, noReach
		for k := range n {
			up[k+1] = up[k].with(m.ends(order[k : k+1]))
			from[n-1-k] = from[n-k].with(m.ends(order[n-1-k : n-k]))
		}
		r.upTo, r.from = append(r.upTo, up), append(r.from, from)
	}
	return r
}

// apart counts the measures that lie apart; 0 where they are too few or of too
// few groups.
func (t *search) apart(of func(m int) (before, after reach)) int {
	n, groups := 0, 0
	for m := range t.follow {
		if before, after := of(m); before.apart(after) {
			n++
			groups |= 1 << t.follow[m].group
		}
	}
	if n < LeastMeasures || bits.OnesCount(uint(groups)) < LeastGroups {
		return 0
	}
	return n
}

func (t *search) change(row, openings int, alone bool, before, after []int) Change {
	c := Change{Row: row, Line: t.log.Line(row), Maker: t.log.Word(row, "maker"), Part: t.log.Word(row, "part"),
		Before: len(before), After: openings, Alone: alone}
	for k := range t.follow {
		m := &t.follow[k]
		if m.ends(before).apart(m.ends(after)) {
			c.Moved = append(c.Moved, Moved{Column: m.column, Before: m.median(before), After: m.median(after)})
		}
	}
	return c
}

// spread says whether enough measures of a product differ enough at all.
func (t *search) spread(rows []int) bool {
	wide := 0
	for k := range t.follow {
		if wide+len(t.follow)-k < LeastMeasures {
			return false
		}
		if e := t.follow[k].ends(rows); e.high > e.low*(1+LeastMoved) {
			if wide++; wide == LeastMeasures {
				return true
			}
		}
	}
	return false
}

// ends are the least and greatest reading.
func (m *measure) ends(rows []int) reach {
	low, high := math.Inf(1), 0.0
	for _, i := range rows {
		if v := m.value[i]; v > 0 {
			low, high = min(low, v), max(high, v)
		}
	}
	if high == 0 {
		return noReach
	}
	return reach{low, high}
}

func (m *measure) median(rows []int) float64 {
	var v []float64
	for _, i := range rows {
		if x := m.value[i]; x == x {
			v = append(v, x)
		}
	}
	return num.Median(v)
}
