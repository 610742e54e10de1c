package page

import "image/color"

// The palette of Okabe and Ito, chosen to stay distinguishable under the
// common colour-vision deficiencies. Source: M. Okabe, K. Ito, "Color
// Universal Design (CUD): How to make figures and presentations that are
// friendly to colorblind people", 2002 (revised 2008), figure 16.
var (
	okabeOrange     = color.NRGBA{R: 0xE6, G: 0x9F, B: 0x00, A: 0xFF}
	okabeSkyBlue    = color.NRGBA{R: 0x56, G: 0xB4, B: 0xE9, A: 0xFF}
	okabeGreen      = color.NRGBA{R: 0x00, G: 0x9E, B: 0x73, A: 0xFF}
	okabeYellow     = color.NRGBA{R: 0xF0, G: 0xE4, B: 0x42, A: 0xFF}
	okabeBlue       = color.NRGBA{R: 0x00, G: 0x72, B: 0xB2, A: 0xFF}
	okabeVermillion = color.NRGBA{R: 0xD5, G: 0x5E, B: 0x00, A: 0xFF}
	okabePurple     = color.NRGBA{R: 0xCC, G: 0x79, B: 0xA7, A: 0xFF}
)

// Colours is the set of colours of a theme. The contrast against the background is
// at least 4.5 for text and at least 3 for marks (WCAG 2.2, success criteria 1.4.3
// and 1.4.11).
type Colours struct {
	Background color.NRGBA
	Ink        color.NRGBA // titles and names
	Muted      color.NRGBA // axis text, subtitle
	Grid       color.NRGBA
	Frame      color.NRGBA // axis lines, leader lines
	Plain      color.NRGBA // a product that is not flagged
	Line       color.NRGBA // the fitted line
	Band       color.NRGBA // its prediction band
	Above      color.NRGBA // overpriced or risen; on drift charts any change
	Below      color.NRGBA // bargain or fallen
	Off        color.NRGBA // off a trend of another measure than price
	Series     []color.NRGBA
}

// Dark returns the colours of a dark page.
func Dark() Colours {
	return Colours{
		Background: color.NRGBA{R: 0x11, G: 0x15, B: 0x1A, A: 0xFF},
		Ink:        color.NRGBA{R: 0xF4, G: 0xF6, B: 0xF8, A: 0xFF},
		Muted:      color.NRGBA{R: 0xB4, G: 0xBD, B: 0xC7, A: 0xFF},
		Grid:       color.NRGBA{R: 0x2A, G: 0x31, B: 0x39, A: 0xFF},
		Frame:      color.NRGBA{R: 0x7E, G: 0x89, B: 0x95, A: 0xFF},
		Plain:      color.NRGBA{R: 0x93, G: 0xA1, B: 0xB0, A: 0xFF},
		Line:       color.NRGBA{R: 0xF4, G: 0xF6, B: 0xF8, A: 0xFF},
		Band:       color.NRGBA{R: 0x24, G: 0x3B, B: 0x4E, A: 0xFF},
		Above:      okabeOrange,
		Below:      okabeGreen,
		Off:        okabeSkyBlue,
		Series:     []color.NRGBA{okabeSkyBlue, okabeOrange, okabeGreen, okabePurple, okabeYellow},
	}
}

// Light returns the colours of a white page.
func Light() Colours {
	return Colours{
		Background: color.NRGBA{R: 0xFF, G: 0xFF, B: 0xFF, A: 0xFF},
		Ink:        color.NRGBA{R: 0x16, G: 0x1B, B: 0x21, A: 0xFF},
		Muted:      color.NRGBA{R: 0x55, G: 0x5E, B: 0x68, A: 0xFF},
		Grid:       color.NRGBA{R: 0xE4, G: 0xE8, B: 0xEC, A: 0xFF},
		Frame:      color.NRGBA{R: 0x7B, G: 0x85, B: 0x90, A: 0xFF},
		Plain:      color.NRGBA{R: 0x76, G: 0x84, B: 0x93, A: 0xFF},
		Line:       color.NRGBA{R: 0x16, G: 0x1B, B: 0x21, A: 0xFF},
		Band:       color.NRGBA{R: 0xD9, G: 0xEA, B: 0xF6, A: 0xFF},
		Above:      okabeVermillion,
		Below:      okabeGreen,
		Off:        okabeBlue,
		Series: []color.NRGBA{okabeBlue, okabeVermillion, okabeGreen,
			{R: 0x9C, G: 0x4A, B: 0x78, A: 0xFF},  // okabePurple darkened: as published its contrast on white is only 3.1
			{R: 0x16, G: 0x1B, B: 0x21, A: 0xFF}}, // ink, as yellow is invisible on white
	}
}

// faded returns c with its opacity set to a (0 to 1).
func faded(c color.NRGBA, a float64) color.NRGBA {
	c.A = uint8(a*255 + 0.5)
	return c
}

// Mix returns the colour a fraction f of the way from a to b.
func Mix(a, b color.NRGBA, f float64) color.NRGBA {
	at := func(x, y uint8) uint8 { return uint8(float64(x) + f*(float64(y)-float64(x)) + 0.5) }
	return color.NRGBA{R: at(a.R, b.R), G: at(a.G, b.G), B: at(a.B, b.B), A: 0xFF}
}
