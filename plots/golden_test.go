package plots

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

// update rewrites the stored pictures: go test ./plots -run Golden -update,
// then look at every picture that changed.
var update = flag.Bool("update", false, "rewrite the stored pictures")

// goldenSize keeps the stored pictures small; the layout is that of a full
// screen, which scales with the page.
func goldenSize() Size { return Size{Width: 640, Height: 360} }

// meanDifference is the mean absolute difference of all colour channels,
// 0 to 1; 1 where the sizes differ.
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

// A label somewhere else changes about 0.004 of the picture, another version
// of the rasteriser far less.
const goldenTolerance = 0.0015

func TestGoldenCharts(t *testing.T) {
	price, priceFlags := priceTrend(58)
	pleats, pleatFlags := pleatTrend(40)
	dense, denseFlags := priceTrend(20_000)
	s := harbourSource()
	charts := map[string]func() (*Chart, error){
		"trend_price":   func() (*Chart, error) { return Trend(price, priceFlags, s) },
		"trend_pleats":  func() (*Chart, error) { return Trend(pleats, pleatFlags, s) },
		"trend_dense":   func() (*Chart, error) { return Trend(dense, denseFlags, s) },
		"residuals":     func() (*Chart, error) { return Residuals(price, priceFlags, s) },
		"drift":         func() (*Chart, error) { return Drift(harbourDrift(), "can_gauge", s) },
		"prices":        func() (*Chart, error) { return Prices(judgements(40), s) },
		"contributions": func() (*Chart, error) { return Contributions(judgements(3)[2], s) },
		"compare":       func() (*Chart, error) { return Compare(comparison(3, 7), s) },
	}
	for name, make := range charts {
		for _, o := range []Options{
			{Size: goldenSize()},
			{Size: Size{Width: 360, Height: 640}, Theme: Dark},
		} {
			file := filepath.Join("..", "testdata", "plots", name+".png")
			if o.Theme == Dark {
				file = filepath.Join("..", "testdata", "plots", name+"_upright_dark.png")
			}
			t.Run(filepath.Base(file), func(t *testing.T) {
				c, err := make()
				if err != nil {
					t.Fatal(err)
				}
				got, err := Render(c, o)
				if err != nil {
					t.Fatal(err)
				}
				compareGolden(t, file, got)
			})
		}
	}
}

func compareGolden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (make it with -update)", err)
	}
	a, err := png.Decode(bytes.NewReader(want))
	if err != nil {
		t.Fatal(err)
	}
	b, err := png.Decode(bytes.NewReader(got))
	if err != nil {
		t.Fatal(err)
	}
	if d := meanDifference(a, b); d > goldenTolerance {
		t.Errorf("the picture differs from %s by %.4f of full scale, more than %.4f", file, d, goldenTolerance)
	}
}

// The tolerance must be tight enough to see a label move.
func TestGoldenToleranceSeesAChange(t *testing.T) {
	tr, flags := priceTrend(58)
	draw := func(title string, drop int) image.Image {
		c, err := Trend(tr, flags[:len(flags)-drop], harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		b, err := Render(c, Options{Size: goldenSize(), Title: title})
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		return img
	}
	same, fewer := draw("A title", 0), draw("A title", 1)
	if d := meanDifference(same, draw("A title", 0)); d != 0 {
		t.Errorf("the same chart differs by %v", d)
	}
	if d := meanDifference(same, fewer); d <= goldenTolerance {
		t.Errorf("a missing label changes only %.5f", d)
	}
}
