package plots

import (
	"cmp"
	"image"
	"image/color"
	"image/png"
	"io"
	"slices"
)

// encodePNG writes an opaque picture with a palette of its 256 most frequent
// colours, each other pixel (the rims of antialiased text and marks) taking
// the nearest of them: a third of the time and size of full colour. A picture
// with transparency is written in full colour.
func encodePNG(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	counts, opaque := colourCounts(img)
	if !opaque {
		return enc.Encode(w, img)
	}
	return enc.Encode(w, paletted(img, counts))
}

// colourCounts counts the runs of each colour and says whether all are opaque.
func colourCounts(img *image.RGBA) (counts map[uint32]int, opaque bool) {
	counts = make(map[uint32]int)
	var last uint32
	run := 0
	for i := 0; i+3 < len(img.Pix); i += 4 {
		c := packed(img.Pix[i:])
		if run > 0 && c == last {
			run++
			continue
		}
		if run > 0 {
			counts[last] += run
		}
		if c&0xFF != 0xFF {
			return nil, false
		}
		last, run = c, 1
	}
	counts[last] += run
	return counts, true
}

func packed(p []uint8) uint32 {
	_ = p[3]
	return uint32(p[0])<<24 | uint32(p[1])<<16 | uint32(p[2])<<8 | uint32(p[3])
}

func paletted(img *image.RGBA, counts map[uint32]int) *image.Paletted {
	colours := make([]uint32, 0, len(counts))
	for c := range counts {
		colours = append(colours, c)
	}
	slices.SortFunc(colours, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b))
	})
	const most = 256 // entries a PNG palette may have
	palette := make(color.Palette, min(len(colours), most))
	index := make(map[uint32]uint8, len(colours))
	for i := range palette {
		c := colours[i]
		palette[i] = color.RGBA{R: uint8(c >> 24), G: uint8(c >> 16), B: uint8(c >> 8), A: 0xFF}
		index[c] = uint8(i)
	}
	for _, c := range colours[len(palette):] {
		index[c] = closest(colours[:len(palette)], c)
	}
	out := image.NewPaletted(img.Bounds(), palette)
	var last uint32
	var at uint8
	known := false
	for i, j := 0, 0; j < len(out.Pix); i, j = i+4, j+1 {
		if c := packed(img.Pix[i:]); !known || c != last {
			last, at, known = c, index[c], true
		}
		out.Pix[j] = at
	}
	return out
}

// closest is the index of the colour with the least squared distance.
func closest(colours []uint32, c uint32) uint8 {
	best, least := 0, 1<<30
	for i, p := range colours {
		d := 0
		for shift := 8; shift <= 24; shift += 8 {
			e := int(p>>shift&0xFF) - int(c>>shift&0xFF)
			d += e * e
		}
		if d < least {
			best, least = i, d
		}
	}
	return uint8(best)
}
