package plots

import (
	"math"
	"testing"

	"golang.org/x/image/font"
	"gonum.org/v1/plot/vg"
)

// The typesetter must measure as gonum's fonts and handler do, to the last bit.
func TestTypesetterMeasuresAsGonumDoes(t *testing.T) {
	p := &page{unit: 31.7, fonts: newTypesetter()}
	for _, s := range []string{"", "Skerrow AV-118", "price of media area (€ per m²)", "  ¿…\u00a0 ", "\U0001F6E2"} {
		for _, size := range []float64{0, footerSize, 1, titleSize} {
			for _, bold := range []bool{false, true} {
				f := p.typeface(size, bold)
				face := p.fonts.face(f)
				if got, want := p.width(s, size, bold), face.Width(s); got != want {
					t.Errorf("width of %q, %v units: got %v, want %v", s, size, got, want)
				}
				w1, h1, d1 := p.fonts.Box(s, f)
				w2, h2, d2 := p.fonts.Plain.Box(s, f)
				if w1 != w2 || h1 != h2 || d1 != d2 {
					t.Errorf("box of %q, %v units: got %v, %v, %v, want %v, %v, %v", s, size, w1, h1, d1, w2, h2, d2)
				}
			}
		}
	}
}

// Text is drawn as wide as it was measured, at every size: pairs such as "T-" and
// "r." keep together in proportion.
func TestTextIsDrawnAsWideAsMeasured(t *testing.T) {
	for _, unit := range []vg.Length{6, 9, 14, 40, 200} {
		p := &page{unit: unit, fonts: newTypesetter()}
		face := p.fonts.face(p.typeface(1, false))
		for _, s := range []string{"T-385", "harbour.csv", "Veldmarsh VM2146", "AVAVAV"} {
			drawn := float64(font.MeasureString(kernedFace(face), s)) / 64
			if want := p.width(s, 1, false).Dots(dpi); math.Abs(drawn-want) > 0.02*want {
				t.Errorf("%q at %g pixels is drawn %.1f wide and measured %.1f", s, float64(unit), drawn, want)
			}
		}
	}
}
