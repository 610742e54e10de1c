package canvas

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// meanDifference returns the mean absolute difference of the colour channels, 0 to
// 1; 1 if the sizes differ.
func meanDifference(a, b image.Image) float64 {
	if a.Bounds() != b.Bounds() {
		return 1
	}
	var sum float64
	box := a.Bounds()
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			r1, g1, b1, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			for _, d := range [...]int{int(r1) - int(r2), int(g1) - int(g2), int(b1) - int(b2)} {
				sum += float64(max(d, -d))
			}
		}
	}
	return sum / (3 * 0xFFFF * float64(box.Dx()*box.Dy()))
}

// A picture with a palette must not visibly differ from the drawing.
func TestPNGPaletteKeepsThePicture(t *testing.T) {
	few := image.NewRGBA(image.Rect(0, 0, 40, 30))
	many := image.NewRGBA(image.Rect(0, 0, 64, 64))
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range few.Pix {
		few.Pix[i] = []uint8{0, 80, 255}[rng.IntN(3)]
		if i%4 == 3 {
			few.Pix[i] = 255
		}
	}
	for y := range 64 {
		for x := range 64 {
			v := uint8(4 * x)
			many.SetRGBA(x, y, color.RGBA{R: v, G: v, B: uint8(4 * y / 8), A: 255})
		}
	}
	for name, c := range map[string]struct {
		img  *image.RGBA
		most float64
	}{"few colours": {few, 0}, "many colours": {many, 0.02}} {
		var b bytes.Buffer
		scratch := &image.RGBA{Pix: slices.Clone(c.img.Pix), Stride: c.img.Stride, Rect: c.img.Rect}
		if err := new(encoder).encode(&b, scratch); err != nil {
			t.Fatal(err)
		}
		got, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := got.(*image.Paletted); !ok {
			t.Errorf("%s: got %T, want a palette", name, got)
		}
		if d := meanDifference(c.img, got); d > c.most {
			t.Errorf("%s: differs by %v, want at most %v", name, d, c.most)
		}
	}
}

// SVG and PDF must draw paths with every kind of component, including those that
// charts do not use.
func TestCanvasesDrawEveryPath(t *testing.T) {
	var p vg.Path
	p.Move(vg.Point{X: 10, Y: 10})
	p.Line(vg.Point{X: 50, Y: 10})
	p.QuadTo(vg.Point{X: 60, Y: 20}, vg.Point{X: 50, Y: 30})
	p.CubeTo(vg.Point{X: 40, Y: 40}, vg.Point{X: 30, Y: 40}, vg.Point{X: 20, Y: 30})
	p.Arc(vg.Point{X: 20, Y: 20}, 10, math.Pi/2, -math.Pi)
	p.Close()
	var whole vg.Path
	whole.Arc(vg.Point{X: 70, Y: 70}, 10, 0, 2*math.Pi)
	for name, c := range map[string]vg.CanvasWriterTo{
		"svg": NewSVG(100, 100, Description{}), "pdf": NewPDF(100, 100, Description{}),
	} {
		c.SetColor(nil)
		c.SetLineWidth(0)
		c.Stroke(p) // nothing: no width
		c.SetLineWidth(2)
		c.SetLineDash([]vg.Length{3, 1}, 1)
		c.SetColor(color.NRGBA{B: 0xB2, A: 0x80})
		c.Stroke(p)
		c.Fill(whole)
		c.Fill(p)
		var b bytes.Buffer
		if _, err := c.WriteTo(&b); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if name != "svg" {
			continue
		}
		// A half circle clockwise (seen with y up) from the top of the circle
		// ends at its bottom: 100-(20-10) = 90 in SVG's coordinates.
		for _, want := range []string{`d="M10 90L50 90Q60 80 50 70C40 60 30 60 20 70L20 70A10 10 0 0 1 30 80A10 10 0 0 1 20 90Z"`,
			`stroke-dasharray="3 1"`, `stroke-opacity="0.5"`} {
			if !strings.Contains(b.String(), want) {
				t.Errorf("svg lacks %q in\n%s", want, b.String())
			}
		}
	}
}
