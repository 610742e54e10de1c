package labels

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/plot/vg"
)

// randomScene returns n labels of marks, and a scene with these marks, a line and
// others ordinary marks.
func randomScene(rng *rand.Rand, n, others int) ([]Label, Scene) {
	frame := vg.Rectangle{Min: vg.Point{X: 100, Y: 120}, Max: vg.Point{X: 1800, Y: 900}}
	at := func() vg.Point {
		// About half of the marks crowd in one place.
		if rng.IntN(2) == 0 {
			return vg.Point{X: vg.Length(900 + 80*rng.NormFloat64()), Y: vg.Length(500 + 80*rng.NormFloat64())}
		}
		return vg.Point{X: vg.Length(100 + 1700*rng.Float64()), Y: vg.Length(120 + 780*rng.Float64())}
	}
	s := Scene{Frame: frame, Busy: NewCrowd(frame, 10)}
	s.Lines = [][]vg.Point{{{X: 100, Y: vg.Length(120 + 700*rng.Float64())}, {X: 1800, Y: vg.Length(120 + 700*rng.Float64())}}}
	var labels []Label
	for range n {
		l := Label{Anchor: Nearest(frame, at()), Radius: vg.Length(5 + 10*rng.Float64()),
			Width: vg.Length(80 + 300*rng.Float64()), Height: 34}
		labels = append(labels, l)
		s.Marks = append(s.Marks, Obstacle{l.Anchor, l.Radius})
	}
	for range others {
		s.Busy.Add(at(), 1)
	}
	s.Busy.Sum()
	return labels, s
}

func TestPlaceLabelsNeverOverlaps(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	placed, asked := 0, 0
	for round := range 150 {
		labels, s := randomScene(rng, 1+rng.IntN(12), rng.IntN(400))
		got := Place(labels, s, uint64(round))
		asked += len(labels)
		for i, p := range got {
			if !p.Placed {
				continue
			}
			placed++
			size := p.Rect.Size()
			if math.Abs(float64(size.X-labels[i].Width)) > 1e-6 || math.Abs(float64(size.Y-labels[i].Height)) > 1e-6 {
				t.Fatalf("round %d: label %d has size %v, want %v×%v", round, i, size, labels[i].Width, labels[i].Height)
			}
			if !inside(p.Rect, s.Frame) {
				t.Errorf("round %d: label %d leaves the frame", round, i)
			}
			for k, m := range s.Marks {
				// Points on the edge are sampled, so as not to use the code under
				// test.
				for a := range 64 {
					sin, cos := math.Sincos(2 * math.Pi * float64(a) / 64)
					edge := vg.Point{X: m.At.X + 0.99*m.Radius*vg.Length(cos), Y: m.At.Y + 0.99*m.Radius*vg.Length(sin)}
					if contains(p.Rect, edge) {
						t.Fatalf("round %d: label %d covers mark %d", round, i, k)
					}
				}
			}
			l := s.Lines[0]
			for k := range 2001 {
				on := l[0].Add(l[1].Sub(l[0]).Scale(vg.Length(k) / 2000))
				if contains(Shrunk(p.Rect, 1e-6), on) {
					t.Fatalf("round %d: label %d lies on the line", round, i)
				}
			}
			for j, q := range got[:i] {
				if !q.Placed {
					continue
				}
				w := min(p.Rect.Max.X, q.Rect.Max.X) - max(p.Rect.Min.X, q.Rect.Min.X)
				h := min(p.Rect.Max.Y, q.Rect.Max.Y) - max(p.Rect.Min.Y, q.Rect.Min.Y)
				if w > 0 && h > 0 {
					t.Errorf("round %d: labels %d and %d overlap by %v×%v", round, j, i, w, h)
				}
				if p.Leader && q.Leader && segmentsCross(p.From, p.To, q.From, q.To) {
					t.Errorf("round %d: leaders %d and %d cross", round, j, i)
				}
				if q.Leader && segmentHits(q.From, q.To, p.Rect) || p.Leader && segmentHits(p.From, p.To, q.Rect) {
					t.Errorf("round %d: a leader runs under label %d or %d", round, j, i)
				}
			}
		}
	}
	// The frame has room for many times twelve labels, so few may be left out.
	if share := float64(placed) / float64(asked); share < 0.99 {
		t.Errorf("only %.3f of the labels found room", share)
	}
}

func TestPlaceLabelsIsReproducible(t *testing.T) {
	labels, s := randomScene(rand.New(rand.NewPCG(5, 5)), 12, 300)
	first := Place(labels, s, 3)
	for range 3 {
		if again := Place(labels, s, 3); !reflect.DeepEqual(first, again) {
			t.Fatal("the same labels were placed differently")
		}
	}
}

func TestPlaceLabelsWithoutRoom(t *testing.T) {
	frame := vg.Rectangle{Max: vg.Point{X: 200, Y: 60}}
	l := Label{Anchor: vg.Point{X: 100, Y: 30}, Radius: 5, Width: 80, Height: 20}
	s := Scene{Frame: frame, Marks: []Obstacle{{l.Anchor, l.Radius}}}
	labels := []Label{l, l, l, l, l, l, l, l, l}
	got := Place(labels, s, 1)
	if !got[0].Placed {
		t.Error("the most important label found no room")
	}
	if got[len(got)-1].Placed {
		t.Error("nine labels of 80×20 cannot all fit into 200×60 beside one mark")
	}
	if out := Place(nil, s, 1); len(out) != 0 {
		t.Errorf("no labels gave %d placements", len(out))
	}
}

func TestCrowdCountsWhatTheRectangleTouches(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	frame := vg.Rectangle{Min: vg.Point{X: 10, Y: 20}, Max: vg.Point{X: 210, Y: 120}}
	c := NewCrowd(frame, 7)
	var points []vg.Point
	for range 500 {
		p := vg.Point{X: vg.Length(220 * rng.Float64()), Y: vg.Length(140 * rng.Float64())}
		points = append(points, p)
		c.Add(p, 1)
	}
	c.Sum()
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
			if contains(Shrunk(r, -c.cell-1e-9), p) {
				near++
			}
		}
		if got := c.Count(r); got < within || got > near {
			t.Fatalf("count %v, want between %v (inside) and %v (within a cell)", got, within, near)
		}
	}
}
