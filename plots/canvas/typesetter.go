package canvas

import (
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// Typesetter measures text. It is gonum's text.Plain with the faces used for
// measuring cached: text.Plain allocates a face for each of the several thousand
// measurements of a chart.
type Typesetter struct {
	text.Plain
	rulers map[*opentype.Font]font.Face
}

// NewTypesetter returns a typesetter of the Liberation fonts, which are compiled in.
func NewTypesetter() *Typesetter {
	return &Typesetter{Plain: text.Plain{Fonts: plotfont.NewCache(liberation.Collection())},
		rulers: make(map[*opentype.Font]font.Face)}
}

// Face returns the face of a font at its size.
func (t *Typesetter) Face(f plotfont.Font) plotfont.Face { return t.Fonts.Lookup(f, f.Size) }

// Width returns the width of s, the same as f.Width(s).
func (t *Typesetter) Width(f plotfont.Face, s string) vg.Length {
	units := float64(f.Face.UnitsPerEm())
	return vg.Points(float64(font.MeasureString(t.ruler(f), s))) * (f.Font.Size / vg.Points(units))
}

// ruler returns the cached face that measures in units of the font.
func (t *Typesetter) ruler(f plotfont.Face) font.Face {
	ruler := t.rulers[f.Face]
	if ruler == nil {
		f.Font.Size = vg.Points(float64(f.Face.UnitsPerEm()) / 64) // so that a unit of the font is 1/64 pixel
		ruler = f.FontFace(dpi)
		t.rulers[f.Face] = ruler
	}
	return ruler
}

// Box returns the width of a line of text and its extent above and below the
// baseline. It implements text.Handler.
func (t *Typesetter) Box(txt string, f plotfont.Font) (width, height, depth vg.Length) {
	face := t.Face(f)
	m := t.ruler(face).Metrics()
	unit := f.Size / vg.Points(float64(face.Face.UnitsPerEm()))
	return t.Width(face, txt), vg.Points(float64(m.Ascent)) * unit, vg.Points(float64(m.Descent)) * unit
}
