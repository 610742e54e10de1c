package canvas

import (
	"math"
	"testing"

	"golang.org/x/image/font"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

func sans(size vg.Length, weight font.Weight) plotfont.Font {
	return plotfont.Font{Typeface: "Liberation", Variant: "Sans", Size: size, Weight: weight}
}

// Measures must equal those of gonum's faces and handler to the last bit.
func TestTypesetterMeasuresAsGonumDoes(t *testing.T) {
	fonts := NewTypesetter()
	for _, s := range []string{"", "Skerrow AV-118", "price of media area (€ per m²)", "  ¿…\u00a0 ", "\U0001F6E2"} {
		for _, size := range []vg.Length{0, 26, 31.7, 51.4} {
			for _, weight := range []font.Weight{font.WeightNormal, font.WeightBold} {
				f := sans(size, weight)
				face := fonts.Face(f)
				if got, want := fonts.Width(face, s), face.Width(s); got != want {
					t.Errorf("width of %q, size %v: got %v, want %v", s, size, got, want)
				}
				w1, h1, d1 := fonts.Box(s, f)
				w2, h2, d2 := fonts.Plain.Box(s, f)
				if w1 != w2 || h1 != h2 || d1 != d2 {
					t.Errorf("box of %q, size %v: got %v, %v, %v, want %v, %v, %v", s, size, w1, h1, d1, w2, h2, d2)
				}
			}
		}
	}
}

// Text must be drawn as wide as it was measured at every size, including kerned pairs
// such as "T-" and "r.".
func TestTextIsDrawnAsWideAsMeasured(t *testing.T) {
	for _, size := range []vg.Length{6, 9, 14, 40, 200} {
		fonts := NewTypesetter()
		face := fonts.Face(sans(size, font.WeightNormal))
		for _, s := range []string{"T-385", "harbour.csv", "Veldmarsh VM2146", "AVAVAV"} {
			drawn := float64(font.MeasureString(kernedFace(face), s)) / 64
			if want := fonts.Width(face, s).Dots(dpi); math.Abs(drawn-want) > 0.02*want {
				t.Errorf("%q at %g pixels is drawn %.1f wide and measured %.1f", s, float64(size), drawn, want)
			}
		}
	}
}
