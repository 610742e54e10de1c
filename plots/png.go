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

// encodePNG writes an opaque picture with a palette, each pixel that is not
// in it (some rims of antialiased text and marks) taking the nearest colour: a
// third of the time and size of full colour. A picture with transparency is
// written in full colour.
func encodePNG(w io.Writer, img *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	runs, opaque := runsOf(img)
	if !opaque {
		return enc.Encode(w, img)
	}
	return enc.Encode(w, paletted(img.Bounds(), runs))
}

// run is a number of equal pixels in reading order. The colour is packed as
// red, green, blue, opacity from the highest byte down.
type run struct {
	colour uint32
	n      int
}

// runsOf breaks a picture into runs and says whether all of it is opaque; if
// not, the runs are incomplete.
func runsOf(img *image.RGBA) (runs []run, opaque bool) {
	pix := img.Pix
	runs = make([]run, 0, len(pix)/128) // charts have about as many
	for i := 0; i+4 <= len(pix); {
		c := binary.BigEndian.Uint32(pix[i:])
		if c&0xFF != 0xFF {
			return nil, false
		}
		start := i
		twice := uint64(c)<<32 | uint64(c)
		for i += 4; i+8 <= len(pix) && binary.BigEndian.Uint64(pix[i:]) == twice; i += 8 {
		}
		if i+4 <= len(pix) && binary.BigEndian.Uint32(pix[i:]) == c {
			i += 4
		}
		runs = append(runs, run{c, (i - start) / 4})
	}
	return runs, true
}

const (
	paletteSize = 256 // entries a PNG palette may have
	frequent    = 128 // of them go to the most frequent colours
)

// entry is a colour of the picture with its place in the palette.
type entry struct {
	colour uint32
	pixels int
	index  uint8
	off    int // squared distance from the palette's colour
}

// choosePalette returns all colours of a picture, most frequent first, or, of
// more than a palette holds, the most frequent ones and then, one by one, the
// colour that is missed most: by its distance from those chosen and (less) by
// its frequency. Every entry gets the index of the nearest.
func choosePalette(entries []entry) []uint32 {
	slices.SortFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(b.pixels, a.pixels), cmp.Compare(a.colour, b.colour))
	})
	for i := range entries {
		entries[i].off = math.MaxInt
	}
	var chosen []uint32
	choose := func(c uint32) {
		for i := range entries {
			if d := colourDistance(entries[i].colour, c); d < entries[i].off {
				entries[i].off, entries[i].index = d, uint8(len(chosen))
			}
		}
		chosen = append(chosen, c)
	}
	first := len(entries)
	if first > paletteSize {
		first = frequent
	}
	for _, e := range entries[:first] {
		choose(e.colour)
	}
	for len(chosen) < min(paletteSize, len(entries)) {
		missed, most := 0, -1.0
		for i, e := range entries {
			if m := float64(e.off) * math.Sqrt(float64(e.pixels)); m > most {
				missed, most = i, m
			}
		}
		choose(entries[missed].colour)
	}
	return chosen
}

// colourDistance is the squared distance of two packed colours.
func colourDistance(a, b uint32) int {
	red, green, blue := int(a>>24)-int(b>>24), int(a>>16&0xFF)-int(b>>16&0xFF), int(a>>8&0xFF)-int(b>>8&0xFF)
	return red*red + green*green + blue*blue
}

// paletted rebuilds a picture of the given bounds from its runs.
func paletted(bounds image.Rectangle, runs []run) *image.Paletted {
	place := make(map[uint32]int)
	var entries []entry
	for _, r := range runs {
		i, ok := place[r.colour]
		if !ok {
			i = len(entries)
			place[r.colour] = i
			entries = append(entries, entry{colour: r.colour})
		}
		entries[i].pixels += r.n
	}
	chosen := choosePalette(entries)
	palette := make(color.Palette, len(chosen))
	for i, c := range chosen {
		palette[i] = color.RGBA{R: uint8(c >> 24), G: uint8(c >> 16), B: uint8(c >> 8), A: 0xFF}
	}
	index := make(map[uint32]uint8, len(entries))
	for _, e := range entries {
		index[e.colour] = e.index
	}
	out := image.NewPaletted(bounds, palette)
	at := 0
	for _, r := range runs {
		if k := index[r.colour]; k != 0 { // the picture starts out as colour 0
			row := out.Pix[at : at+r.n]
			for i := range row {
				row[i] = k
			}
		}
		at += r.n
	}
	return out
}
