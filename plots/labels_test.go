package plots

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/plot/vg"
)

// randomScene is a frame with flagged marks, a line and a crowd.
func randomScene(rng *rand.Rand, n, others int) ([]label, scene) {
	frame := vg.Rectangle{Min: vg.Point{X: 100, Y: 120}, Max: vg.Point{X: 1800, Y: 900}}
	at := func() vg.Point {
		// Half of the marks crowd in one place, some sit on the frame.
		if rng.IntN(2) == 0 {
			return vg.Point{X: vg.Length(900 + 80*rng.NormFloat64()), Y: vg.Length(500 + 80*rng.NormFloat64())}
		}
		return vg.Point{X: vg.Length(100 + 1700*rng.Float64()), Y: vg.Length(120 + 780*rng.Float64())}
	}
	s := scene{frame: frame, busy: newCrowd(frame, 10)}
	s.lines = [][]vg.Point{{{X: 100, Y: vg.Length(120 + 700*rng.Float64())}, {X: 1800, Y: vg.Length(120 + 700*rng.Float64())}}}
	var labels []label
	for range n {
		l := label{anchor: nearest(frame, at()), radius: vg.Length(5 + 10*rng.Float64()),
			width: vg.Length(80 + 300*rng.Float64()), height: 34}
		labels = append(labels, l)
		s.marks = append(s.marks, obstacle{l.anchor, l.radius})
	}
	for range others {
		s.busy.add(at(), 1)
	}
	s.busy.sum()
	return labels, s
}

func TestPlaceLabelsNeverOverlaps(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	placed, asked := 0, 0
	for round := range 150 {
		labels, s := randomScene(rng, 1+rng.IntN(12), rng.IntN(400))
		got := placeLabels(labels, s, uint64(round))
		asked += len(labels)
		for i, p := range got {
			if !p.placed {
				continue
			}
			placed++
			size := p.rect.Size()
			if math.Abs(float64(size.X-labels[i].width)) > 1e-6 || math.Abs(float64(size.Y-labels[i].height)) > 1e-6 {
				t.Fatalf("round %d: label %d has size %v, want %v×%v", round, i, size, labels[i].width, labels[i].height)
			}
			if !inside(p.rect, s.frame) {
				t.Errorf("round %d: label %d leaves the frame", round, i)
			}
			for k, m := range s.marks {
				// Sampled rather than by the function under test.
				for a := range 64 {
					sin, cos := math.Sincos(2 * math.Pi * float64(a) / 64)
					edge := vg.Point{X: m.at.X + 0.99*m.radius*vg.Length(cos), Y: m.at.Y + 0.99*m.radius*vg.Length(sin)}
					if contains(p.rect, edge) {
						t.Fatalf("round %d: label %d covers mark %d", round, i, k)
					}
				}
			}
			l := s.lines[0]
			for k := range 2001 {
				on := l[0].Add(l[1].Sub(l[0]).Scale(vg.Length(k) / 2000))
				if contains(shrunk(p.rect, 1e-6), on) {
					t.Fatalf("round %d: label %d lies on the line", round, i)
				}
			}
			for j, q := range got[:i] {
				if !q.placed {
					continue
				}
				w := min(p.rect.Max.X, q.rect.Max.X) - max(p.rect.Min.X, q.rect.Min.X)
				h := min(p.rect.Max.Y, q.rect.Max.Y) - max(p.rect.Min.Y, q.rect.Min.Y)
				if w > 0 && h > 0 {
					t.Errorf("round %d: labels %d and %d overlap by %v×%v", round, j, i, w, h)
				}
				if p.leader && q.leader && segmentsCross(p.from, p.to, q.from, q.to) {
					t.Errorf("round %d: leaders %d and %d cross", round, j, i)
				}
				if q.leader && segmentHits(q.from, q.to, p.rect) || p.leader && segmentHits(p.from, p.to, q.rect) {
					t.Errorf("round %d: a leader runs under label %d or %d", round, j, i)
				}
			}
		}
	}
	// The frame holds twelve labels many times over: dropping must be rare.
	if share := float64(placed) / float64(asked); share < 0.99 {
		t.Errorf("only %.3f of the labels found room", share)
	}
}

func TestPlaceLabelsIsReproducible(t *testing.T) {
	labels, s := randomScene(rand.New(rand.NewPCG(5, 5)), 12, 300)
	first := placeLabels(labels, s, 3)
	for range 3 {
		if again := placeLabels(labels, s, 3); !reflect.DeepEqual(first, again) {
			t.Fatal("the same labels were placed differently")
		}
	}
}

func TestPlaceLabelsWithoutRoom(t *testing.T) {
	frame := vg.Rectangle{Max: vg.Point{X: 200, Y: 60}}
	l := label{anchor: vg.Point{X: 100, Y: 30}, radius: 5, width: 80, height: 20}
	s := scene{frame: frame, marks: []obstacle{{l.anchor, l.radius}}}
	labels := []label{l, l, l, l, l, l, l, l, l}
	got := placeLabels(labels, s, 1)
	if !got[0].placed {
		t.Error("the most important label found no room")
	}
	if got[len(got)-1].placed {
		t.Error("nine labels of 80×20 cannot all fit into 200×60 beside one mark")
	}
	if out := placeLabels(nil, s, 1); len(out) != 0 {
		t.Errorf("no labels gave %d placements", len(out))
	}
}

func TestCrowdCountsWhatTheRectangleTouches(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	frame := vg.Rectangle{Min: vg.Point{X: 10, Y: 20}, Max: vg.Point{X: 210, Y: 120}}
	c := newCrowd(frame, 7)
	var points []vg.Point
	for range 500 {
		p := vg.Point{X: vg.Length(220 * rng.Float64()), Y: vg.Length(140 * rng.Float64())}
		points = append(points, p)
		c.add(p, 1)
	}
	c.sum()
	for range 200 {
		a := vg.Point{X: vg.Length(10 + 150*rng.Float64()), Y: vg.Length(20 + 70*rng.Float64())}
		r := vg.Rectangle{Min: a, Max: vg.Point{X: a.X + vg.Length(50*rng.Float64()), Y: a.Y + vg.Length(30*rng.Float64())}}
		within, near := 0.0, 0.0
		for _, p := range points {
			if !contains(frame, p) {
				continue
			}
			if contains(r, p) {
				within++
			}
			if contains(shrunk(r, -c.cell-1e-9), p) {
				near++
			}
		}
		if got := c.count(r); got < within || got > near {
			t.Fatalf("count %v, want between %v (inside) and %v (within a cell)", got, within, near)
		}
	}
}
