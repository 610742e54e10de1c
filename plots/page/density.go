package page

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// DenseFrom is the number of points above which cells shaded by their count are
// drawn in place of single marks, which could no longer be distinguished.
const DenseFrom = 4000

// HexGrid counts points in regular hexagons with pointed tops over a frame, by the
// two-lattice method of D. B. Carr et al., "Scatterplot matrix techniques for
// large N", Journal of the American Statistical Association 82, 1987.
type HexGrid struct {
	origin     vg.Point
	dx, dy     vg.Length // distance between centres of a row; between rows
	cols, rows int
	counts     []int32 // cols × rows, row by row
}

// NewHexGrid returns a grid of empty hexagons of the given width.
func NewHexGrid(frame vg.Rectangle, width vg.Length) *HexGrid {
	g := &HexGrid{origin: frame.Min, dx: width, dy: width * vg.Length(math.Sqrt(3)/2)}
	size := frame.Size()
	g.cols = int(size.X/g.dx) + 2
	g.rows = int(size.Y/g.dy) + 2
	g.counts = make([]int32, g.cols*g.rows)
	return g
}

// Add counts a point; points outside the frame are ignored.
func (g *HexGrid) Add(pt vg.Point) {
	x, y := float64((pt.X-g.origin.X)/g.dx), float64((pt.Y-g.origin.Y)/g.dy)
	if !(x >= 0 && y >= 0 && x <= float64(g.cols-2)+1 && y <= float64(g.rows-2)+1) {
		return
	}
	// The nearest centre lies on the nearest even row or the nearest odd row.
	even := 2 * math.Round(y/2)
	odd := 2*math.Floor(y/2) + 1
	ex, ox := math.Round(x), math.Floor(x)+0.5
	const squash = 0.75 // (√3/2)²: squared ratio of the distances of rows and columns
	i, j := int(ex), int(even)
	if sq(x-ox)+squash*sq(y-odd) < sq(x-ex)+squash*sq(y-even) {
		i, j = int(ox), int(odd)
	}
	if i < g.cols && j < g.rows {
		g.counts[j*g.cols+i]++
	}
}

func sq(x float64) float64 { return x * x }

// centre returns the centre of cell i of row j.
func (g *HexGrid) centre(i, j int) vg.Point {
	x := g.origin.X + vg.Length(i)*g.dx
	if j%2 == 1 {
		x += g.dx / 2
	}
	return vg.Point{X: x, Y: g.origin.Y + vg.Length(j)*g.dy}
}

// Centres returns the centres of the cells that hold a point, row by row.
func (g *HexGrid) Centres() []vg.Point {
	var out []vg.Point
	for k, n := range g.counts {
		if n > 0 {
			out = append(out, g.centre(k%g.cols, k/g.cols))
		}
	}
	return out
}

func (g *HexGrid) max() int32 {
	var most int32
	for _, n := range g.counts {
		most = max(most, n)
	}
	return most
}

// shades is the number of colours by which the logarithm of a count is shown.
const shades = 7

// DrawHexes shades each cell by the logarithm of its count, clipped to the frame.
func (p *Page) DrawHexes(c draw.Canvas, g *HexGrid) {
	most := math.Log(float64(max(g.max(), 2)))
	paths := make([]vg.Path, shades)
	r := float64(g.dx) / math.Sqrt(3) * 1.02 // cells overlap slightly, so that no gaps show
	for j := range g.rows {
		for i := range g.cols {
			n := g.counts[j*g.cols+i]
			if n == 0 {
				continue
			}
			shade := min(int(math.Log(float64(n))/most*shades), shades-1)
			at := g.centre(i, j)
			corners := make([]vg.Point, 6)
			for k := range corners {
				sin, cos := math.Sincos(math.Pi/2 + float64(k)*math.Pi/3)
				corners[k] = vg.Point{X: at.X + vg.Length(r*cos), Y: at.Y + vg.Length(r*sin)}
			}
			for k, v := range c.ClipPolygonXY(corners) {
				if k == 0 {
					paths[shade].Move(v)
				} else {
					paths[shade].Line(v)
				}
			}
			paths[shade].Close()
		}
	}
	for k, path := range paths {
		if len(path) > 0 {
			c.SetColor(p.shade(k))
			c.Fill(path)
		}
	}
}

// shade returns colour k of shades, from near the background to full strength.
func (p *Page) shade(k int) color.NRGBA {
	return Mix(p.Background, p.Off, 0.2+0.8*float64(k)/(shades-1))
}
