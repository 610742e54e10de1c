package plots

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/plot/vg"
)

// label asks for a text of the given size beside a mark.
type label struct {
	anchor        vg.Point  // centre of the mark
	radius        vg.Length // reach of the mark
	width, height vg.Length
}

// placement is where a label went. Where Placed is false there was no room.
type placement struct {
	rect     vg.Rectangle
	placed   bool
	leader   bool // the label stands away from its mark: draw the line from, to
	from, to vg.Point
}

// obstacle is a mark no label may cover.
type obstacle struct {
	at     vg.Point
	radius vg.Length
}

// scene is what labels have to keep clear of.
type scene struct {
	frame vg.Rectangle // labels stay inside
	marks []obstacle   // never covered
	lines [][]vg.Point // never crossed
	busy  *crowd       // ordinary marks: covered only where it cannot be helped
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
	placement
	cost float64
}

// placeLabels puts labels beside their marks so that no label touches
// another label, a mark of the scene, a line or the frame, and no leader line
// crosses a label or another leader. Labels given first matter most; one is
// left out only when no arrangement found holds it.
//
// The method is greedy choice among fixed candidate positions with local
// improvement, restarted in seeded random orders while labels are missing
// (candidate positions after J. Christensen, J. Marks, S. Shieber, "An
// empirical study of algorithms for point-feature label placement", ACM
// Transactions on Graphics 14, 1995). The same input gives the same layout.
func placeLabels(labels []label, s scene, seed uint64) []placement {
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
	out := make([]placement, len(labels))
	for i := range labels {
		if best[i] >= 0 {
			out[i] = options[i][best[i]].placement
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
		if overlap(c.rect, o.rect) ||
			c.leader && segmentHits(c.from, c.to, o.rect) ||
			o.leader && segmentHits(o.from, o.to, c.rect) ||
			c.leader && o.leader && segmentsCross(c.from, c.to, o.from, o.to) {
			return false
		}
	}
	return true
}

// candidates lists the allowed positions of a label, cheapest first.
func candidates(l label, s scene) []candidate {
	var out []candidate
	h := float64(l.height)
	for ring, gap := range [...]float64{0.18, 0.75, 1.5, 2.5, 4, 6, 9, 13, 18, 25} {
		for d := range placeDirections {
			sin, cos := math.Sincos(2 * math.Pi * float64(d) / placeDirections)
			off := vg.Length(gap*h) + l.radius
			centre := vg.Point{
				X: l.anchor.X + vg.Length(cos)*(l.width/2+off),
				Y: l.anchor.Y + vg.Length(sin)*(l.height/2+off),
			}
			c := candidate{placement: placement{placed: true, leader: ring > 0}}
			c.rect.Min = vg.Point{X: centre.X - l.width/2, Y: centre.Y - l.height/2}
			c.rect.Max = vg.Point{X: centre.X + l.width/2, Y: centre.Y + l.height/2}
			if !inside(c.rect, s.frame) || s.blocked(c.rect) {
				continue
			}
			c.cost = gap + costSide*(1-cos)/2
			if s.busy != nil {
				c.cost += costPerCovered * s.busy.count(c.rect)
			}
			if c.leader {
				c.to = nearest(c.rect, l.anchor)
				c.from = towards(l.anchor, c.to, l.radius)
				crossed, hit := s.leaderMeets(c.from, c.to, l.anchor)
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

func (s scene) blocked(r vg.Rectangle) bool {
	for _, m := range s.marks {
		if distance(nearest(r, m.at), m.at) < m.radius {
			return true
		}
	}
	for _, line := range s.lines {
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
func (s scene) leaderMeets(from, to, own vg.Point) (lines int, mark bool) {
	for _, m := range s.marks {
		if m.at != own && segmentDistance(from, to, m.at) < m.radius {
			return 0, true
		}
	}
	for _, line := range s.lines {
		for i := 1; i < len(line); i++ {
			if segmentsCross(from, to, line[i-1], line[i]) {
				lines++
				break
			}
		}
	}
	return lines, false
}
