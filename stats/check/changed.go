package check

import (
	"cmp"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"pleatstat/stats"
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
	Row         int // the first opening of the other filter
	Line        int
	Maker, Part string
	Before      int  // openings before it (of an opening alone: all others)
	After       int  // openings from it on that agree
	Alone       bool // later openings are as the earlier ones
	Moved       []Moved
}

// Moved is one measure of a change, base units.
type Moved struct {
	Column        string
	Before, After float64 // medians over the openings
}

// group is the part of a filter a measure belongs to.
var groupOf = map[measure]int{
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
	var best []Moved
	at := 0
	for s := 1; s < len(order); s++ {
		if t.opened != nil && t.opened[order[s]] == t.opened[order[s-1]] {
			continue // of one day: no before and after
		}
		if moved := t.moved(order[:s], order[s:], follow); len(moved) > len(best) {
			best, at = moved, s
		}
	}
	if best != nil {
		return t.change(order[at], at, len(order)-at, false, best), order[at:]
	}
	if len(order) < 3 {
		return Change{}, nil
	}
	for k := 1; k < len(order)-1; k++ { // an opening alone: the ends were looked at
		if moved := t.moved(slices.Delete(slices.Clone(order), k, k+1), order[k:k+1], follow); moved != nil {
			return t.change(order[k], len(order)-1, 1, true, moved), order[k : k+1]
		}
	}
	return Change{}, nil
}

func (t *table) change(row, before, after int, alone bool, moved []Moved) Change {
	return Change{Row: row, Line: t.log.Line(row), Maker: t.log.Word(row, "maker"), Part: t.log.Word(row, "part"),
		Before: before, After: after, Alone: alone, Moved: moved}
}

// spread says whether enough measures of a product differ enough at all.
func (t *table) spread(rows []int, follow []measure) bool {
	wide := 0
	for _, m := range follow {
		low, high := t.ends(rows, m)
		if high > low*(1+ChangedBy) {
			wide++
		}
	}
	return wide >= ChangedMeasures
}

// ends are the least and greatest reading; not a number where there is none.
func (t *table) ends(rows []int, m measure) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, i := range rows {
		if v := t.value[m][i]; v > 0 {
			low, high = min(low, v), max(high, v)
		}
	}
	if low > high {
		return math.NaN(), math.NaN()
	}
	return low, high
}

// moved lists the measures all of whose readings lie apart before and after;
// nil where they are too few or of one group.
func (t *table) moved(before, after []int, follow []measure) []Moved {
	var out []Moved
	groups := map[int]bool{}
	for _, m := range follow {
		lowA, highA := t.ends(before, m)
		lowB, highB := t.ends(after, m)
		up, down := lowB/highA, lowA/highB
		if !(max(up, down) > 1+ChangedBy) || max(highB/lowA, highA/lowB) > ChangedAtMost {
			continue
		}
		out = append(out, Moved{Column: m.column(), Before: t.median(before, m), After: t.median(after, m)})
		groups[groupOf[m]] = true
	}
	if len(out) < ChangedMeasures || len(groups) < ChangedGroups {
		return nil
	}
	return out
}

func (t *table) median(rows []int, m measure) float64 {
	var v []float64
	for _, i := range rows {
		if x := t.value[m][i]; x == x {
			v = append(v, x)
		}
	}
	return stats.Median(v)
}
