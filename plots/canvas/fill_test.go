package canvas

import (
	"image"
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
)

// covered returns the area, in pixels, that fills of the paths cover in a picture of
// size×size pixels, weighted by their opacity.
func covered(size int, c color.Color, paths ...vg.Path) float64 {
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	f := newFiller(img)
	for _, p := range paths {
		f.fill(p, c)
	}
	sum := 0.0
	for i := 3; i < len(img.Pix); i += 4 {
		sum += float64(img.Pix[i]) / 255
	}
	return sum
}

func disc(x, y, r vg.Length) vg.Path {
	var p vg.Path
	p.Move(vg.Point{X: x + r, Y: y})
	p.Arc(vg.Point{X: x, Y: y}, r, 0, 2*math.Pi)
	p.Close()
	return p
}

func box(x, y, w, h vg.Length) vg.Path {
	return vg.Rectangle{Min: vg.Point{X: x, Y: y}, Max: vg.Point{X: x + w, Y: y + h}}.Path()
}

// The area filled must be that of the part of the shape inside the picture (formulas
// of Euclid and Archimedes).
func TestFillCoversTheArea(t *testing.T) {
	both := append(box(10, 10, 20, 20), box(20, 20, 20, 20)...)
	for _, c := range []struct {
		name string
		path vg.Path
		want float64
	}{
		{"a rectangle on whole pixels", box(10, 20, 30, 40), 1200},
		{"a rectangle between pixels", box(10.25, 20.5, 30.5, 40.25), 30.5 * 40.25},
		{"a disc", disc(50, 50, 20), math.Pi * 400},
		{"a small mark", disc(50.3, 49.6, 4), math.Pi * 16},
		{"two squares that overlap", both, 700},
		{"half a disc, the rest beside the picture", disc(0, 50, 20), math.Pi * 200},
		{"a quarter, the rest below and beside", disc(100, 0, 20), math.Pi * 100},
		{"larger than the picture", box(-50, -50, 400, 400), 10000},
		{"beside the picture", disc(-50, 50, 20), 0},
		{"above the picture", disc(50, 150, 20), 0},
		{"nothing", nil, 0},
		{"a line", box(10, 10, 50, 0), 0},
		{"nowhere", disc(vg.Length(math.NaN()), 50, 20), 0},
	} {
		if got := covered(100, color.Black, c.path); math.Abs(got-c.want) > 0.005*c.want+0.1 {
			t.Errorf("%s covers %.2f pixels, want %.2f", c.name, got, c.want)
		}
	}
	// Two half-transparent layers cover 1 - (1/2)² of what is below.
	half := color.NRGBA{A: 128}
	if got := covered(100, half, box(10, 10, 10, 10), box(10, 10, 10, 10)); math.Abs(got-75) > 1 {
		t.Errorf("two half-transparent squares cover %.2f, want 75", got)
	}
}
