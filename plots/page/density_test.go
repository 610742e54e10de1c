package page

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/plot/vg"
)

// Every point must be counted in the cell with the nearest centre, found here by
// searching all cells.
func TestHexGridPicksTheNearestCentre(t *testing.T) {
	frame := vg.Rectangle{Min: vg.Point{X: 30, Y: 40}, Max: vg.Point{X: 330, Y: 240}}
	rng := rand.New(rand.NewPCG(4, 4))
	off := func(a, b vg.Point) float64 { return math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) }
	for range 2000 {
		pt := vg.Point{X: vg.Length(30 + 300*rng.Float64()), Y: vg.Length(40 + 200*rng.Float64())}
		g := NewHexGrid(frame, 17)
		g.Add(pt)
		found, best := -1, math.Inf(1)
		for j := range g.rows {
			for i := range g.cols {
				if d := off(g.centre(i, j), pt); d < best-1e-9 {
					found, best = j*g.cols+i, d
				}
			}
		}
		if g.counts[found] != 1 {
			t.Fatalf("point %v is not in the nearest cell", pt)
		}
	}
}

func TestHexGridCountsEveryPointOfTheFrame(t *testing.T) {
	frame := vg.Rectangle{Max: vg.Point{X: 300, Y: 200}}
	g := NewHexGrid(frame, 16)
	rng := rand.New(rand.NewPCG(4, 5))
	const n = 5000
	for range n {
		g.Add(vg.Point{X: vg.Length(300 * rng.Float64()), Y: vg.Length(200 * rng.Float64())})
	}
	for _, p := range []vg.Point{{}, {X: 300, Y: 200}, {X: 300}, {Y: 200}} {
		g.Add(p) // the corners belong to the frame
	}
	g.Add(vg.Point{X: -50, Y: 20}) // outside
	g.Add(vg.Point{X: vg.Length(math.NaN()), Y: 1})
	total := 0
	for _, c := range g.counts {
		total += int(c)
	}
	if total != n+4 {
		t.Errorf("counted %d points, want %d", total, n+4)
	}
}
