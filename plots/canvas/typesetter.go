package canvas

import (
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// Typesetter is gonum's handler of plain text, which takes new memory for each
// measure (some thousands a chart), with rulers that keep theirs.
type Typesetter struct {
	text.Plain
	rulers map[*opentype.Font]font.Face
}

// NewTypesetter knows the Liberation fonts, which are part of the program.
func NewTypesetter() *Typesetter {
	return &Typesetter{Plain: text.Plain{Fonts: plotfont.NewCache(liberation.Collection())},
		rulers: make(map[*opentype.Font]font.Face)}
}

// Face is the face of a font and its size.
func (t *Typesetter) Face(f plotfont.Font) plotfont.Face { return t.Fonts.Lookup(f, f.Size) }

// Width is what the face's method Width returns.
func (t *Typesetter) Width(f plotfont.Face, s string) vg.Length {
	units := float64(f.Face.UnitsPerEm())
	return vg.Points(float64(font.MeasureString(t.ruler(f), s))) * (f.Font.Size / vg.Points(units))
}

// ruler measures in units of the font.
func (t *Typesetter) ruler(f plotfont.Face) font.Face {
	ruler := t.rulers[f.Face]
	if ruler == nil {
		f.Font.Size = vg.Points(float64(f.Face.UnitsPerEm()) / 64) // in 64ths of a pixel
		ruler = f.FontFace(dpi)
		t.rulers[f.Face] = ruler
	}
	return ruler
}

// Box returns the size of a line of text. It implements text.Handler.
func (t *Typesetter) Box(txt string, f plotfont.Font) (width, height, depth vg.Length) {
	face := t.Face(f)
	m := t.ruler(face).Metrics()
	unit := f.Size / vg.Points(float64(face.Face.UnitsPerEm()))
	return t.Width(face, txt), vg.Points(float64(m.Ascent)) * unit, vg.Points(float64(m.Descent)) * unit
}
