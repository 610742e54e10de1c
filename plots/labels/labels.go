// Package labels places names beside the marks of a scatter plot so that they
// cover no flagged mark, no line and no other name, and their leader lines do not
// cross.
//
// Each label has candidate positions around its mark, with a cost that depends on
// the distance, on the ordinary marks covered and on the lines that the leader
// crosses. Labels are placed greedily and then moved to cheaper positions while
// there are any (J. Christensen, J. Marks, S. Shieber, "An empirical study of
// algorithms for point-feature label placement", ACM Transactions on Graphics 14,
// 1995). The package draws nothing.
package labels

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/plot/vg"
)

// Label is a text of the given size to be placed beside a mark.
type Label struct {
	Anchor        vg.Point  // centre of the mark
	Radius        vg.Length // of the mark
	Width, Height vg.Length
}

// Placement is the position of a label. If Placed is false there was no room.
type Placement struct {
	Rect     vg.Rectangle
	Placed   bool
	Leader   bool // the label is away from its mark: a line joins From and To
	From, To vg.Point
}

// Obstacle is a mark that no label may cover.
type Obstacle struct {
	At     vg.Point
	Radius vg.Length
}

// Scene is what the labels must not cover or leave.
type Scene struct {
	Frame vg.Rectangle // labels stay inside
	Marks []Obstacle   // never covered
	Lines [][]vg.Point // never covered; leaders cross them at a cost
	Busy  *Crowd       // ordinary marks, covered at a cost; nil = none
}

// Costs of a candidate position, in label heights of distance from its mark.
const (
	costPerCovered = 4.0 // an ordinary mark under the label
	costLeader     = 0.8 // having a leader line at all
	costCrossLine  = 6.0 // a leader across the fitted line
	costSide       = 0.3 // most for a side other than the right, which reads best
)

const (
	placeDirections = 16 // candidate directions around a mark
	placeRestarts   = 24 // orders in which the labels are placed, the best one being kept
	placeSweeps     = 8  // most rounds of local improvement for each order
)

type candidate struct {
	Placement
	cost float64
}

// Place puts labels beside their marks, inside the frame, so that no label overlaps
// another label, a mark of the scene or a line, and no leader line crosses a label
// or another leader. A label without room is left out. The result has one entry
// for each label.
//
// The labels are placed in the order given and then in random orders; the
// arrangement kept is the one that leaves out least, earlier labels counting for
// more, and of those the cheapest. The same input and seed give the same result.
func Place(labels []Label, s Scene, seed uint64) []Placement {
	options := make([][]candidate, len(labels))
	for i, l := range labels {
		options[i] = candidates(l, s)
	}
	rng := rand.New(rand.NewPCG(seed, 0x6c6162656c))
	order := make([]int, len(labels))
	for i := range order {
		order[i] = i
	}
	var best []int
	bestMissing, bestCost := math.MaxInt, math.Inf(1)
	for try := range placeRestarts {
		if try > 0 {
			rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		}
		chosen := arrange(options, order)
		missing, cost := 0, 0.0
		for i, k := range chosen {
			if k < 0 {
				missing += len(labels) + 1 - i // earlier labels count for more
			} else {
				cost += options[i][k].cost
			}
		}
		if missing < bestMissing || missing == bestMissing && cost < bestCost {
			best, bestMissing, bestCost = chosen, missing, cost
		}
	}
	out := make([]Placement, len(labels))
	for i := range labels {
		if best[i] >= 0 {
			out[i] = options[i][best[i]].Placement
		}
	}
	return out
}

// arrange gives each label, in the given order, its cheapest free position, and
// repeats this until no label moves. It returns the index of the candidate chosen
// for each label, -1 for no room.
func arrange(options [][]candidate, order []int) []int {
	chosen := make([]int, len(options))
	for i := range chosen {
		chosen[i] = -1
	}
	for range placeSweeps {
		changed := false
		for _, i := range order {
			best := chosen[i]
			for k := range options[i] {
				if best >= 0 && options[i][k].cost >= options[i][best].cost {
					break // the candidates are sorted by cost
				}
				if free(options, chosen, i, k) {
					best = k
					break
				}
			}
			if best != chosen[i] {
				chosen[i], changed = best, true
			}
		}
		if !changed {
			break
		}
	}
	return chosen
}

func free(options [][]candidate, chosen []int, i, k int) bool {
	c := &options[i][k]
	for j, m := range chosen {
		if j == i || m < 0 {
			continue
		}
		o := &options[j][m]
		if overlap(c.Rect, o.Rect) ||
			c.Leader && segmentHits(c.From, c.To, o.Rect) ||
			o.Leader && segmentHits(o.From, o.To, c.Rect) ||
			c.Leader && o.Leader && segmentsCross(c.From, c.To, o.From, o.To) {
			return false
		}
	}
	return true
}

// candidates returns the allowed positions of a label, cheapest first.
func candidates(l Label, s Scene) []candidate {
	var out []candidate
	h := float64(l.Height)
	for ring, gap := range [...]float64{0.18, 0.75, 1.5, 2.5, 4, 6, 9, 13, 18, 25} {
		for d := range placeDirections {
			sin, cos := math.Sincos(2 * math.Pi * float64(d) / placeDirections)
			off := vg.Length(gap*h) + l.Radius
			centre := vg.Point{
				X: l.Anchor.X + vg.Length(cos)*(l.Width/2+off),
				Y: l.Anchor.Y + vg.Length(sin)*(l.Height/2+off),
			}
			c := candidate{Placement: Placement{Placed: true, Leader: ring > 0}}
			c.Rect.Min = vg.Point{X: centre.X - l.Width/2, Y: centre.Y - l.Height/2}
			c.Rect.Max = vg.Point{X: centre.X + l.Width/2, Y: centre.Y + l.Height/2}
			if !inside(c.Rect, s.Frame) || s.blocked(c.Rect) {
				continue
			}
			c.cost = gap + costSide*(1-cos)/2
			if s.Busy != nil {
				c.cost += costPerCovered * s.Busy.Count(c.Rect)
			}
			if c.Leader {
				c.To = Nearest(c.Rect, l.Anchor)
				c.From = towards(l.Anchor, c.To, l.Radius)
				crossed, hit := s.leaderMeets(c.From, c.To, l.Anchor)
				if hit {
					continue
				}
				c.cost += costLeader + costCrossLine*float64(crossed)
			}
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b candidate) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

func (s Scene) blocked(r vg.Rectangle) bool {
	for _, m := range s.Marks {
		if distance(Nearest(r, m.At), m.At) < m.Radius {
			return true
		}
	}
	for _, line := range s.Lines {
		for i := 1; i < len(line); i++ {
			if segmentHits(line[i-1], line[i], r) {
				return true
			}
		}
	}
	return false
}

// leaderMeets counts the lines that a leader crosses and reports whether it runs
// over a mark other than its own; the count is 0 in that case.
func (s Scene) leaderMeets(from, to, own vg.Point) (lines int, mark bool) {
	for _, m := range s.Marks {
		if m.At != own && segmentDistance(from, to, m.At) < m.Radius {
			return 0, true
		}
	}
	for _, line := range s.Lines {
		for i := 1; i < len(line); i++ {
			if segmentsCross(from, to, line[i-1], line[i]) {
				lines++
				break
			}
		}
	}
	return lines, false
}
