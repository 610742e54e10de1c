package canvas

import (
	"encoding/binary"
	"image"
	"image/png"
	"io"
	"math"
)

// encoder writes PNG files one after another in the same memory.
type encoder struct {
	runs    []run
	entries []entry
	buffer  *png.EncoderBuffer
}

// Get and Put lend the buffer to the encoder of package png.
func (e *encoder) Get() *png.EncoderBuffer  { return e.buffer }
func (e *encoder) Put(b *png.EncoderBuffer) { e.buffer = b }

// encode writes an opaque picture with a palette, each pixel that is not
// in it (some rims of antialiased text and marks) taking the nearest colour: a
// third of the time and size of full colour. A picture with transparency (or
// with more than 65,536 colours, which no chart has) is written in full colour.
// The picture's memory serves as scratch and holds nothing of use afterwards.
func (e *encoder) encode(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: e}
	if !e.divide(img) {
		return enc.Encode(w, img)
	}
	return enc.Encode(w, e.paletted(img))
}

// run is a number of equal pixels in reading order, by the place of their
// colour among the entries; longer ones are cut.
type run struct{ entry, n uint16 }

// slots is the size, a power of two, of the table in which colours met lately
// are looked up: larger than the number of colours a chart has.
const slots = 1 << 12

// divide breaks a picture into runs and lists its colours; false where not all
// of it is opaque or the colours are too many.
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
				if at > math.MaxUint16 {
					return false
				}
				place[c] = at
				e.entries = append(e.entries, entry{colour: c})
			}
			lately[slot] = at + 1
		}
		n := (i - start) / 4
		e.entries[at].pixels += int32(n)
		for ; n > math.MaxUint16; n -= math.MaxUint16 {
			e.runs = append(e.runs, run{uint16(at), math.MaxUint16})
		}
		e.runs = append(e.runs, run{uint16(at), uint16(n)})
	}
	return true
}

// paletted rebuilds a picture, of one byte a pixel, from its runs in its own
// memory, whose four bytes a pixel have been read by then.
func (e *encoder) paletted(img *image.RGBA) *image.Paletted {
	palette := choosePalette(e.entries)
	pixels := img.Rect.Dx() * img.Rect.Dy()
	out := &image.Paletted{Pix: img.Pix[:pixels:pixels], Stride: img.Rect.Dx(), Rect: img.Rect, Palette: palette}
	at := 0
	for _, r := range e.runs {
		k := e.entries[r.entry].index
		row := out.Pix[at : at+int(r.n)]
		for i := range row {
			row[i] = k
		}
		at += int(r.n)
	}
	return out
}
