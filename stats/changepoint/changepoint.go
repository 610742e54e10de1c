// Package changepoint answers "did a part become another filter under the same
// number?".
//
// The openings from some opening on are taken to be of another filter if the ranges
// of several measures, from more than one of the groups can, pack, base plate and
// whole filter, before and from then on lie apart by more than openings of one part
// differ and by less than an entry error would cause. A single opening in between
// may be of another filter too. Ranges are compared, not means, so that a single odd
// reading does not make a change. The limits are common practice, no source.
//
// It does not tell a redesign from a change of supplier or plant, which a log cannot
// show. A change is not an entry error.
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
	// LeastMeasures is the smallest number of measures that must change together.
	// Fewer are entry errors or a change of a single component.
	LeastMeasures = 3

	// LeastGroups is the smallest number of groups (can, pack, base plate, whole
	// filter) that they must come from: measures of one group, such as pleats, media
	// length and media mass, change together anyway.
	LeastGroups = 2

	// LeastMoved is the smallest distance, as a share, between the nearest readings
	// before and after. Openings of one part differ by a few per cent. Common
	// practice, no source.
	LeastMoved = 0.075

	// MostMoved is the largest ratio of readings before and after; a larger one is
	// an entry error.
	MostMoved = 2.0
)

// Change is an opening from which on, or at which alone, a part is another filter.
type Change struct {
	Row    int              // the first opening of the other filter
	Line   int              `json:"line"`
	Maker  string           `json:"maker"`
	Part   string           `json:"part"`
	Before int              `json:"openings_before"` // openings before it; if Alone, all others
	After  int              `json:"openings_since"`  // openings from it on; if Alone, 1
	Alone  bool             `json:"alone"`           // whether later openings are like the earlier ones
	Moved  []ChangedMeasure `json:"moved"`
}

// ChangedMeasure is one measure of a change, in base units.
type ChangedMeasure struct {
	Column string  `json:"column"`
	Before float64 `json:"before"` // medians over the openings
	After  float64 `json:"after"`
}

// groups are the measures examined, in canonical order, with the group of each.
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

// measure is a measure in which changes are sought.
type measure struct {
	column string
	group  int
	value  []float64 // by row; NaN = blank
}

// search holds the measures and dates of a log.
type search struct {
	log    *dataset.Log
	follow []measure
	opened []float64 // decimal year; nil if the log has no dates
}

// Find examines the openings of each product, given by their rows in file order. It
// returns the changes in order of row and, for each product that has one, the rows of
// the other filter. value returns the readings of a column by row, in base units and
// NaN if blank, or nil for a column that the log does not have.
func Find(log *dataset.Log, value func(column string) []float64, products [][]int) (changes []Change, splitOff [][]int) {
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

// changeOf examines one product; other holds the rows of the other filter, nil if
// there is no change.
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
			continue // the same day: no order between them
		}
		if n := t.apart(func(m int) (before, after reach) { return r.upTo[m][s], r.from[m][s] }); n > best {
			best, at = n, s
		}
	}
	if best > 0 {
		return t.change(order[at], len(order)-at, false, order[:at], order[at:]), order[at:]
	}
	for k := 1; k < len(order)-1; k++ { // a single opening; the first and last were examined above
		n := t.apart(func(m int) (others, it reach) {
			return r.upTo[m][k].with(r.from[m][k+1]), t.follow[m].ends(order[k : k+1])
		})
		if n > 0 {
			return t.change(order[k], 1, true, slices.Delete(slices.Clone(order), k, k+1), order[k:k+1]), order[k : k+1]
		}
	}
	return Change{}, nil
}

// reach is the range of some readings; NaN without any.
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

// apart reports whether the two ranges lie apart by more than LeastMoved and no two
// readings differ by more than MostMoved.
func (before reach) apart(after reach) bool {
	up, down := after.low/before.high, before.low/after.high
	return max(up, down) > 1+LeastMoved && max(after.high/before.low, before.high/after.low) <= MostMoved
}

// running holds, for every measure, the ranges of the openings before each one and
// from each one on.
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

// apart returns the number of measures whose ranges lie apart; 0 if they are too few
// or of too few groups.
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
			c.Moved = append(c.Moved, ChangedMeasure{Column: m.column, Before: m.median(before), After: m.median(after)})
		}
	}
	return c
}

// spread reports whether enough measures of a product vary enough for a change.
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

// ends returns the range of the positive readings.
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
