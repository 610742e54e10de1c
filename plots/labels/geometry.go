package labels

import (
	"math"

	"gonum.org/v1/plot/vg"
)

func overlap(a, b vg.Rectangle) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

func inside(r, frame vg.Rectangle) bool {
	return r.Min.X >= frame.Min.X && r.Max.X <= frame.Max.X && r.Min.Y >= frame.Min.Y && r.Max.Y <= frame.Max.Y
}

func contains(r vg.Rectangle, p vg.Point) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// Shrunk returns r with each side moved inwards.
func Shrunk(r vg.Rectangle, by vg.Length) vg.Rectangle {
	r.Min.X += by
	r.Min.Y += by
	r.Max.X -= by
	r.Max.Y -= by
	return r
}

// Nearest returns the point of r closest to p.
func Nearest(r vg.Rectangle, p vg.Point) vg.Point {
	return vg.Point{X: min(max(p.X, r.Min.X), r.Max.X), Y: min(max(p.Y, r.Min.Y), r.Max.Y)}
}

func distance(a, b vg.Point) vg.Length {
	return vg.Length(math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)))
}

// towards returns the point at distance d from a in the direction of b.
func towards(a, b vg.Point, d vg.Length) vg.Point {
	l := distance(a, b)
	if l == 0 {
		return a
	}
	return a.Add(b.Sub(a).Scale(d / l))
}

// segmentHits reports whether the segment from a to b has a point inside r, by
// clipping it to the strips between opposite sides.
func segmentHits(a, b vg.Point, r vg.Rectangle) bool {
	t0, t1 := vg.Length(0), vg.Length(1)
	for _, s := range [...][4]vg.Length{
		{a.X, b.X - a.X, r.Min.X, r.Max.X},
		{a.Y, b.Y - a.Y, r.Min.Y, r.Max.Y},
	} {
		start, d, lo, hi := s[0], s[1], s[2], s[3]
		if d == 0 {
			if start <= lo || start >= hi {
				return false
			}
			continue
		}
		u, v := (lo-start)/d, (hi-start)/d
		if u > v {
			u, v = v, u
		}
		t0, t1 = max(t0, u), min(t1, v)
	}
	return t0 < t1
}

func segmentDistance(a, b, p vg.Point) vg.Length {
	d := b.Sub(a)
	l := d.Dot(d)
	if l == 0 {
		return distance(a, p)
	}
	t := min(max(p.Sub(a).Dot(d)/l, 0), 1)
	return distance(a.Add(d.Scale(t)), p)
}

func segmentsCross(a, b, c, d vg.Point) bool {
	side := func(p, q, r vg.Point) vg.Length { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// Crowd counts points within rectangles by a summed-area table over a grid of
// square cells. Counts are exact to one cell at the edges, and take the same time
// for any number of points.
type Crowd struct {
	frame      vg.Rectangle
	cell       vg.Length
	cols, rows int
	sums       []float64 // (cols+1) × (rows+1)
}

// NewCrowd returns an empty crowd with square cells of the given width.
func NewCrowd(frame vg.Rectangle, cell vg.Length) *Crowd {
	size := frame.Size()
	c := &Crowd{frame: frame, cell: cell,
		cols: max(1, int(math.Ceil(float64(size.X/cell)))),
		rows: max(1, int(math.Ceil(float64(size.Y/cell))))}
	c.sums = make([]float64, (c.cols+1)*(c.rows+1))
	return c
}

// Add adds a point with a weight; points outside the frame are ignored. All points
// must be added before Sum is called.
func (c *Crowd) Add(p vg.Point, weight float64) {
	if !contains(c.frame, p) {
		return
	}
	i := min(int((p.X-c.frame.Min.X)/c.cell), c.cols-1)
	j := min(int((p.Y-c.frame.Min.Y)/c.cell), c.rows-1)
	c.sums[(j+1)*(c.cols+1)+i+1] += weight
}

// Sum computes the table that Count reads. It must be called once.
func (c *Crowd) Sum() {
	w := c.cols + 1
	for j := 1; j <= c.rows; j++ {
		for i := 1; i < w; i++ {
			c.sums[j*w+i] += c.sums[j*w+i-1] + c.sums[(j-1)*w+i] - c.sums[(j-1)*w+i-1]
		}
	}
}

// Count returns the weight of the points in all cells that r touches.
func (c *Crowd) Count(r vg.Rectangle) float64 {
	i0 := min(max(int((r.Min.X-c.frame.Min.X)/c.cell), 0), c.cols)
	j0 := min(max(int((r.Min.Y-c.frame.Min.Y)/c.cell), 0), c.rows)
	i1 := min(max(int((r.Max.X-c.frame.Min.X)/c.cell)+1, i0), c.cols)
	j1 := min(max(int((r.Max.Y-c.frame.Min.Y)/c.cell)+1, j0), c.rows)
	w := c.cols + 1
	return c.sums[j1*w+i1] - c.sums[j0*w+i1] - c.sums[j1*w+i0] + c.sums[j0*w+i0]
}
