package plots

import (
	"cmp"
	"encoding/binary"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"slices"
)

// encoder writes PNG files one after another in the same memory.
type encoder struct {
	runs    []run
	entries []entry
	out     *image.Paletted
	buffer  *png.EncoderBuffer
}

// Get and Put lend the buffer to the encoder of package png.
func (e *encoder) Get() *png.EncoderBuffer  { return e.buffer }
func (e *encoder) Put(b *png.EncoderBuffer) { e.buffer = b }

// encode writes an opaque picture with a palette, each pixel that is not
// in it (some rims of antialiased text and marks) taking the nearest colour: a
// third of the time and size of full colour. A picture with transparency is
// written in full colour.
func (e *encoder) encode(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: e}
	if !e.divide(img) {
		return enc.Encode(w, img)
	}
	return enc.Encode(w, e.paletted(img.Bounds()))
}

// run is a number of equal pixels in reading order, by the place of their
// colour among the entries.
type run struct{ entry, n int32 }

// entry is a colour of the picture, packed as red, green, blue, opacity from
// the highest byte down, with its place in the palette.
type entry struct {
	colour uint32
	place  int32 // among the entries
	index  uint8
	pixels int
	weight float64 // √pixels
	off    int32   // squared distance from the palette's colour
}

// slots is the size, a power of two, of the table in which colours met lately
// are looked up: larger than the number of colours a chart has.
const slots = 1 << 12

// divide breaks a picture into runs and lists its colours; false where not all
// of it is opaque.
func (e *encoder) divide(img *image.RGBA) bool {
	e.runs, e.entries = e.runs[:0], e.entries[:0]
	place := make(map[uint32]int32)
	var lately [slots]int32 // 1 + place of a colour, by its hash
	pix := img.Pix
	if e.runs == nil {
		e.runs = make([]run, 0, len(pix)/128) // charts have about as many
	}
	for i := 0; i+4 <= len(pix); {
		c := binary.BigEndian.Uint32(pix[i:])
		if c&0xFF != 0xFF {
			return false
		}
		start := i
		twice := uint64(c)<<32 | uint64(c)
		for i += 4; i+8 <= len(pix) && binary.BigEndian.Uint64(pix[i:]) == twice; i += 8 {
		}
		if i+4 <= len(pix) && binary.BigEndian.Uint32(pix[i:]) == c {
			i += 4
		}
		slot := c * 0x9E3779B1 >> 20 // the golden ratio spreads the colours
		at := lately[slot] - 1
		if at < 0 || e.entries[at].colour != c {
			var known bool
			if at, known = place[c]; !known {
				at = int32(len(e.entries))
				place[c] = at
				e.entries = append(e.entries, entry{colour: c, place: at})
			}
			lately[slot] = at + 1
		}
		n := (i - start) / 4
		e.entries[at].pixels += n
		e.runs = append(e.runs, run{at, int32(n)})
	}
	return true
}

const (
	paletteSize = 256 // entries a PNG palette may have
	frequent    = 128 // of them go to the most frequent colours
)

// choosePalette returns all colours of a picture, most frequent first, or, of
// more than a palette holds, the most frequent ones and then, one by one, the
// colour that is missed most: by its distance from those chosen and (less) by
// its frequency. Every entry gets the index of the nearest.
func choosePalette(entries []entry) []uint32 {
	slices.SortFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(b.pixels, a.pixels), cmp.Compare(a.colour, b.colour))
	})
	for i := range entries {
		entries[i].off, entries[i].weight = math.MaxInt32, math.Sqrt(float64(entries[i].pixels))
	}
	var chosen []uint32
	choose := func(c uint32) (missed int) { // the entry missed most from then on
		most := -1.0
		for i := range entries {
			e := &entries[i]
			if d := colourDistance(e.colour, c); d < e.off {
				e.off, e.index = d, uint8(len(chosen))
			}
			if m := float64(e.off) * e.weight; m > most {
				missed, most = i, m
			}
		}
		chosen = append(chosen, c)
		return missed
	}
	first, missed := len(entries), 0
	if first > paletteSize {
		first = frequent
	}
	for _, e := range entries[:first] {
		missed = choose(e.colour)
	}
	for len(chosen) < min(paletteSize, len(entries)) {
		missed = choose(entries[missed].colour)
	}
	return chosen
}

// colourDistance is the squared distance of two packed colours.
func colourDistance(a, b uint32) int32 {
	red, green, blue := int32(a>>24)-int32(b>>24), int32(a>>16&0xFF)-int32(b>>16&0xFF), int32(a>>8&0xFF)-int32(b>>8&0xFF)
	return red*red + green*green + blue*blue
}

// paletted rebuilds a picture of the given bounds from its runs.
func (e *encoder) paletted(bounds image.Rectangle) *image.Paletted {
	ranked := slices.Clone(e.entries)
	chosen := choosePalette(ranked)
	palette := make(color.Palette, len(chosen))
	for i, c := range chosen {
		palette[i] = color.RGBA{R: uint8(c >> 24), G: uint8(c >> 16), B: uint8(c >> 8), A: 0xFF}
	}
	for _, r := range ranked {
		e.entries[r.place].index = r.index
	}
	if e.out == nil || e.out.Rect != bounds {
		e.out = image.NewPaletted(bounds, palette)
	}
	e.out.Palette = palette
	at := 0
	for _, r := range e.runs {
		k := e.entries[r.entry].index
		row := e.out.Pix[at : at+int(r.n)]
		for i := range row {
			row[i] = k
		}
		at += int(r.n)
	}
	return e.out
}
