package canvas

import (
	"encoding/binary"
	"image"
	"image/png"
	"io"
	"math"
)

// encoder writes PNG files one after another, reusing its memory.
type encoder struct {
	runs    []run
	entries []entry
	buffer  *png.EncoderBuffer
}

// Get and Put implement png.EncoderBufferPool.
func (e *encoder) Get() *png.EncoderBuffer  { return e.buffer }
func (e *encoder) Put(b *png.EncoderBuffer) { e.buffer = b }

// encode writes an opaque picture with a palette, in a third of the time and size
// of full colour. Colours that are not in the palette, at the antialiased edges of
// text and marks, are replaced by the nearest one. A picture with transparency, or
// with more than 65,536 colours, which no chart has, is written in full colour.
// encode overwrites the pixels of img.
func (e *encoder) encode(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: e}
	if !e.divide(img) {
		return enc.Encode(w, img)
	}
	return enc.Encode(w, e.paletted(img))
}

// run is a sequence of n equal pixels, row by row; entry is the index of their
// colour among the entries. Sequences longer than 65,535 are divided.
type run struct{ entry, n uint16 }

// slots is the size of the hash table in which recent colours are looked up: a
// power of two, larger than the number of colours of a chart.
const slots = 1 << 12

// divide divides a picture into runs and lists its colours. It returns false if the
// picture is not opaque or has too many colours.
func (e *encoder) divide(img *image.RGBA) bool {
	e.runs, e.entries = e.runs[:0], e.entries[:0]
	place := make(map[uint32]int32)
	var lately [slots]int32 // hash of a colour -> index of its entry + 1
	pix := img.Pix
	if e.runs == nil {
		e.runs = make([]run, 0, len(pix)/128) // about as many as a chart has
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
		slot := c * 0x9E3779B1 >> 20 // multiplicative hashing by the golden ratio, to 12 bits
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

// paletted rebuilds the picture from its runs, with one byte for each pixel. It
// reuses the memory of img, whose pixels are no longer needed.
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
