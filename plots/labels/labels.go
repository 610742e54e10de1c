// Package labels finds room for names beside the marks of a scatter plot: none
// covers a mark, a line or another name, and leaders do not cross.
//
// Candidate positions about each mark have a cost, by their distance, by what
// they cover and by what their leader crosses; names are put in order of
// importance and then moved while that makes the whole cheaper (J. Christensen,
// J. Marks, S. Shieber, "An empirical study of algorithms for point-feature label
// placement", ACM Transactions on Graphics 14, 1995). It draws nothing.
package labels

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/plot/vg"
)

// Label asks for a text of the given size beside a mark.
type Label struct {
	Anchor        vg.Point  // centre of the mark
	Radius        vg.Length // reach of the mark
	Width, Height vg.Length
}

// Placement is where a label went. Where Placed is false there was no room.
type Placement struct {
	Rect     vg.Rectangle
	Placed   bool
	Leader   bool // the label stands away from its mark: draw the line from, to
	From, To vg.Point
}

// Obstacle is a mark no label may cover.
type Obstacle struct {
	At     vg.Point
	Radius vg.Length
}

// Scene is what labels have to keep clear of.
type Scene struct {
	Frame vg.Rectangle // labels stay inside
	Marks []Obstacle   // never covered
	Lines [][]vg.Point // never crossed
	Busy  *Crowd       // ordinary marks: covered only where it cannot be helped
}

// Costs of a candidate position, in label heights of distance from its mark.
const (
	costPerCovered = 4.0 // an ordinary mark under the label
	costLeader     = 0.8 // having a leader line at all
	costCrossLine  = 6.0 // a leader across the fitted line
	costSide       = 0.3 // a side that reads less well than the right
)

const (
	placeDirections = 16
	placeRestarts   = 24 // orders tried when a label finds no room
	placeSweeps     = 8  // rounds of local improvement for each order
)

type candidate struct {
	Placement
	cost float64
}

// Place puts labels beside their marks so that no label touches
// another label, a mark of the scene, a line or the frame, and no leader line
// crosses a label or another leader. Labels given first matter most; one is
// left out only when no arrangement found holds it.
//
// The method is greedy choice among fixed candidate positions with local
// improvement, restarted in seeded random orders while labels are missing. The
// same input gives the same layout.
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
				missing += len(labels) + 1 - i // an early label counts for more
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

// arrange gives every label in turn its cheapest free position, then lets
// each move to a cheaper one while that helps. -1 = no room.
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
					break // candidates are in order of cost
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

// candidates lists the allowed positions of a label, cheapest first.
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

// leaderMeets counts the lines a leader crosses and says whether it runs
// over a mark other than its own.
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
