package page

import (
	"image/color"
	"math"
	"testing"
)

// linear returns the linear intensities of an sRGB colour (IEC 61966-2-1, with the
// threshold as corrected in WCAG 2.2).
func linear(c color.NRGBA) [3]float64 {
	var out [3]float64
	for i, v := range [...]uint8{c.R, c.G, c.B} {
		s := float64(v) / 255
		if s <= 0.04045 {
			out[i] = s / 12.92
		} else {
			out[i] = math.Pow((s+0.055)/1.055, 2.4)
		}
	}
	return out
}

// contrast returns the contrast ratio of two colours as defined in WCAG 2.2
// (glossary, "relative luminance" and "contrast ratio").
func contrast(a, b color.NRGBA) float64 {
	l := func(c color.NRGBA) float64 {
		v := linear(c)
		return 0.2126*v[0] + 0.7152*v[1] + 0.0722*v[2]
	}
	x, y := l(a), l(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// deficiency maps a linear RGB colour to the one that a dichromat sees. Source:
// G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based
// model for simulation of color vision deficiency", IEEE Transactions on
// Visualization and Computer Graphics 15, 2009, table of matrices at severity
// 1.0 (from memory; each row sums to one, as white must stay white).
type deficiency [3][3]float64

func deficiencies() map[string]deficiency {
	return map[string]deficiency{
		"none":         {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
		"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
		"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
	}
}

func (d deficiency) see(c color.NRGBA) [3]float64 {
	v := linear(c)
	var out [3]float64
	for i, row := range d {
		out[i] = min(1, max(0, row[0]*v[0]+row[1]*v[1]+row[2]*v[2]))
	}
	return out
}

// lab converts linear sRGB to CIE L*a*b* under D65 (CIE 15).
func lab(v [3]float64) [3]float64 {
	x := (0.4124*v[0] + 0.3576*v[1] + 0.1805*v[2]) / 0.9505
	y := 0.2126*v[0] + 0.7152*v[1] + 0.0722*v[2]
	z := (0.0193*v[0] + 0.1192*v[1] + 0.9505*v[2]) / 1.089
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return [3]float64{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}
}

func difference(d deficiency, a, b color.NRGBA) float64 {
	p, q := lab(d.see(a)), lab(d.see(b))
	return math.Sqrt(sq(p[0]-q[0]) + sq(p[1]-q[1]) + sq(p[2]-q[2]))
}

func TestContrastFormula(t *testing.T) {
	white := color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	// WCAG 2.2: black on white is 21:1. #767676 on white, 4.54:1, is the
	// lightest grey that passes level AA (WebAIM's contrast checker, from memory).
	if got := contrast(color.NRGBA{A: 255}, white); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white: %v, want 21", got)
	}
	if got := contrast(color.NRGBA{R: 0x76, G: 0x76, B: 0x76, A: 255}, white); math.Abs(got-4.54) > 0.005 {
		t.Errorf("#767676 on white: %v, want 4.54", got)
	}
	for name, d := range deficiencies() {
		for i, row := range d {
			if sum := row[0] + row[1] + row[2]; math.Abs(sum-1) > 2e-6 {
				t.Errorf("%s row %d sums to %v", name, i, sum)
			}
		}
	}
}

func TestThemesHaveContrast(t *testing.T) {
	for name, th := range map[string]Colours{"light": Light(), "dark": Dark()} {
		check := func(what string, c color.NRGBA, least float64, grounds ...color.NRGBA) {
			for _, ground := range grounds {
				if got := contrast(c, ground); got < least {
					t.Errorf("%s: %s has a contrast of %.2f, want %.1f", name, what, got, least)
				}
			}
		}
		check("ink", th.Ink, 7, th.Background, th.Band)
		check("muted", th.Muted, 4.5, th.Background)
		check("frame", th.Frame, 3, th.Background)
		check("plain", th.Plain, 3, th.Background, th.Band)
		check("line", th.Line, 7, th.Background, th.Band)
		check("above", th.Above, 3, th.Background, th.Band)
		check("below", th.Below, 3, th.Background)
		check("off", th.Off, 3, th.Background, th.Band)
		for i, c := range th.Series {
			check("series "+string(rune('1'+i)), c, 3, th.Background)
		}
	}
}

func TestThemesUnderColourVisionDeficiencies(t *testing.T) {
	// A CIE76 difference of 2.3 is just noticeable side by side (M. Mahy et
	// al., Color Research and Application 19, 1994); small marks at a distance
	// from each other need several times that.
	const apart = 12
	for name, th := range map[string]Colours{"light": Light(), "dark": Dark()} {
		groups := map[string][]color.NRGBA{
			"flags":  {th.Above, th.Below, th.Off, th.Ink},
			"series": th.Series,
			"ground": {th.Background, th.Plain},
		}
		for deficient, d := range deficiencies() {
			for group, colours := range groups {
				for i := range colours {
					for j := range i {
						if got := difference(d, colours[i], colours[j]); got < apart {
							t.Errorf("%s, %s: %s %d and %d differ by only %.1f", name, deficient, group, j, i, got)
						}
					}
				}
			}
		}
	}
}
