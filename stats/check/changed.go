package check

import (
	"cmp"
	"math"
	"math/bits"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"pleatstat/stats/num"
)

const (
	// ChangedMeasures is how many measures of one opening must move together
	// for it to be another filter under the same number. Fewer are slips or a
	// change of that one thing.
	ChangedMeasures = 3

	// ChangedGroups is how many of can, pack, base plate and whole they must
	// come from: pleats, media length and media mass move together by
	// themselves.
	ChangedGroups = 2

	// ChangedBy is how far, as a share, the nearest readings of before and
	// after must lie apart. Openings of one part differ by a few per cent.
	// Common practice, no source.
	ChangedBy = 0.075

	// ChangedAtMost: what differs by more than this factor is a slip.
	ChangedAtMost = 2.0
)

// Change is an opening from which on, or at which alone, a part is not the same
// filter any more. It is news and no slip. A log can't tell a redesign from
// another supplier or plant.
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

// group is the part of a filter a measure belongs to.
var groupOf = [maxMeasures]int{
	canGauge: 1, canMass: 1, canOD: 1, canHeight: 1,
	pleats: 2, mediaLength: 2, elementWidth: 2, mediaMass: 2, elementMass: 2, mediaThickness: 2,
	basePlateMass: 3, basePlateGauge: 3, inletHoles: 3, inletHoleDiameter: 3,
	totalMass: 4,
}

// follows lists the measures a change is looked for in, in canonical order.
func (t *table) follows() []measure {
	var out []measure
	for _, m := range t.have {
		if groupOf[m] != 0 {
			out = append(out, m)
		}
	}
	return out
}

// changes finds the parts that became another filter, and counts their openings
// from then on as a product of their own.
func changes(t *table) []Change {
	follow := t.follows()
	if len(follow) < ChangedMeasures {
		return nil
	}
	products := len(t.start) - 1
	workers := runtime.GOMAXPROCS(0)
	found := make([][]Change, workers)
	rows := make([][][]int, workers)
	var work errgroup.Group
	for w := range workers {
		work.Go(func() error {
			for p := w * products / workers; p < (w+1)*products/workers; p++ {
				if c, of := t.changeOf(p, follow); of != nil {
					found[w], rows[w] = append(found[w], c), append(rows[w], of)
				}
			}
			return nil
		})
	}
	_ = work.Wait() // no worker returns an error
	out, apart := slices.Concat(found...), slices.Concat(rows...)
	for _, of := range apart {
		for _, i := range of {
			t.product[i] = int32(t.products)
		}
		t.products++
	}
	if len(out) > 0 {
		t.group()
	}
	slices.SortFunc(out, func(a, b Change) int { return cmp.Compare(a.Row, b.Row) })
	return out
}

// changeOf looks at one product; rows are those of the other filter, nil for
// none.
func (t *table) changeOf(p int, follow []measure) (Change, []int) {
	rows := t.rows[t.start[p]:t.start[p+1]]
	if len(rows) < 2 || !t.spread(rows, follow) {
		return Change{}, nil
	}
	order := rows
	if t.opened != nil {
		order = slices.DeleteFunc(slices.Clone(rows), func(i int) bool { return t.opened[i] != t.opened[i] })
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(t.opened[a], t.opened[b]) })
	}
	r := t.running(order, follow)
	best, at := 0, 0
	for s := 1; s < len(order); s++ {
		if t.opened != nil && t.opened[order[s]] == t.opened[order[s-1]] {
			continue // of one day: no before and after
		}
		if n := r.apart(func(m int) (before, after reach) { return r.upTo[m][s], r.from[m][s] }); n > best {
			best, at = n, s
		}
	}
	if best > 0 {
		return t.change(order[at], len(order)-at, false, order[:at], order[at:], follow), order[at:]
	}
	for k := 1; k < len(order)-1; k++ { // an opening alone: the ends were looked at
		n := r.apart(func(m int) (others, it reach) {
			it = reach{math.NaN(), math.NaN()}
			if v := t.value[follow[m]][order[k]]; v > 0 {
				it = reach{v, v}
			}
			return r.upTo[m][k].with(r.from[m][k+1]), it
		})
		if n > 0 {
			return t.change(order[k], 1, true, slices.Delete(slices.Clone(order), k, k+1), order[k:k+1], follow), order[k : k+1]
		}
	}
	return Change{}, nil
}

// reach is the least and the greatest of some readings; NaN of none.
type reach struct{ low, high float64 }

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
	return max(up, down) > 1+ChangedBy && max(after.high/before.low, before.high/after.low) <= ChangedAtMost
}

// running holds, for every measure, the reach of the openings up to each one
// and from each one on.
type running struct {
	follow     []measure
	upTo, from [][]reach
}

func (t *table) running(order []int, follow []measure) running {
	r := running{follow: follow}
	none := reach{math.NaN(), math.NaN()}
	n := len(order)
	for _, m := range follow {
		up, from := make([]reach, n+1), make([]reach, n+1)
		up[0], from[n] = none, none
		of := func(k int) reach {
			if v := t.value[m][order[k]]; v > 0 {
				return reach{v, v}
			}
			return none
		}
		for k := range n {
			up[k+1] = up[k].with(of(k))
			from[n-1-k] = from[n-k].with(of(n - 1 - k))
		}
		r.upTo, r.from = append(r.upTo, up), append(r.from, from)
	}
	return r
}

// apart counts the measures that lie apart; 0 where they are too few or of too
// few groups.
func (r *running) apart(of func(m int) (before, after reach)) int {
	n, groups := 0, 0
	for m := range r.follow {
		if before, after := of(m); before.apart(after) {
			n++
			groups |= 1 << groupOf[r.follow[m]]
		}
	}
	if n < ChangedMeasures || bits.OnesCount(uint(groups)) < ChangedGroups {
		return 0
	}
	return n
}

func (t *table) change(row, openings int, alone bool, before, after []int, follow []measure) Change {
	c := Change{Row: row, Line: t.log.Line(row), Maker: t.log.Word(row, "maker"), Part: t.log.Word(row, "part"),
		Before: len(before), After: openings, Alone: alone}
	for _, m := range follow {
		if t.ends(before, m).apart(t.ends(after, m)) {
			c.Moved = append(c.Moved, Moved{Column: m.column(), Before: t.median(before, m), After: t.median(after, m)})
		}
	}
	return c
}

// spread says whether enough measures of a product differ enough at all.
func (t *table) spread(rows []int, follow []measure) bool {
	wide := 0
	for k, m := range follow {
		if wide+len(follow)-k < ChangedMeasures {
			return false
		}
		if e := t.ends(rows, m); e.high > e.low*(1+ChangedBy) {
			if wide++; wide == ChangedMeasures {
				return true
			}
		}
	}
	return false
}

// ends are the least and greatest reading.
func (t *table) ends(rows []int, m measure) reach {
	low, high := math.Inf(1), 0.0
	for _, i := range rows {
		if v := t.value[m][i]; v > 0 {
			low, high = min(low, v), max(high, v)
		}
	}
	if high == 0 {
		return reach{math.NaN(), math.NaN()}
	}
	return reach{low, high}
}

func (t *table) median(rows []int, m measure) float64 {
	var v []float64
	for _, i := range rows {
		if x := t.value[m][i]; x == x {
			v = append(v, x)
		}
	}
	return num.Median(v)
}
