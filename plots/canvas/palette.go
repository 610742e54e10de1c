package canvas

import (
	"cmp"
	"image/color"
	"math"
	"slices"
)

// entry is a colour of the picture, packed as red, green, blue and opacity from the
// highest byte down.
type entry struct {
	colour uint32
	pixels int32
	index  uint8 // of the nearest colour of the palette
}

const (
	paletteSize = 256 // most entries of a PNG palette
	frequent    = 128 // entries that go to the most frequent colours
)

// choosePalette chooses a palette for the colours of a picture and sets the index of
// every entry to the nearest colour of the palette. The palette holds all colours,
// or, if they are too many, the most frequent ones followed by those chosen one by
// one for the largest error so far: squared distance to the nearest colour chosen
// times the square root of the number of pixels.
func choosePalette(entries []entry) color.Palette {
	ranked := make([]tone, len(entries))
	for i, e := range entries {
		ranked[i] = tone{colour: e.colour, place: uint16(i), weight: math.Sqrt(float64(e.pixels))}
	}
	slices.SortFunc(ranked, func(a, b tone) int {
		return cmp.Or(cmp.Compare(entries[b.place].pixels, entries[a.place].pixels), cmp.Compare(a.colour, b.colour))
	})
	first := len(ranked)
	if first > paletteSize {
		first = frequent
	}
	c := choice{tones: ranked, cells: make([]colourCell, 0, paletteSize)}
	for i := range first {
		c.choose(ranked[i].colour)
	}
	for len(c.cells) < min(paletteSize, len(ranked)) {
		c.choose(ranked[c.missedMost()].colour)
	}
	palette := make(color.Palette, len(c.cells))
	for k := range c.cells {
		cell := &c.cells[k]
		palette[k] = color.RGBA{R: uint8(cell.colour >> 24), G: uint8(cell.colour >> 16), B: uint8(cell.colour >> 8), A: 0xFF}
		for i := cell.first; i != none; i = ranked[i].next {
			entries[ranked[i].place].index = uint8(k)
		}
	}
	return palette
}

// tone is a colour of the picture. It belongs to the cell of the chosen colour
// nearest to it, the first one of those equally near.
type tone struct {
	colour uint32
	off    int32   // squared distance from the chosen colour
	weight float64 // √pixels
	next   int32   // index of the next tone of the cell, or none
	place  uint16  // index among the entries
}

const none = -1

// colourCell is a chosen colour with a linked list of the tones nearest to it,
// which include the colour itself.
type colourCell struct {
	colour uint32
	first  int32   // index of its first tone
	reach  int32   // largest squared distance of its tones
	worst  int32   // index of the tone with the largest error, the first of equal ones
	most   float64 // that error: squared distance times weight
}

func newCell(colour uint32) colourCell { return colourCell{colour: colour, first: none, most: -1} }

// add adds the tone with index i to the cell.
func (c *colourCell) add(t *tone, i int32) {
	t.next, c.first = c.first, i
	if t.off > c.reach {
		c.reach = t.off
	}
	if missed := float64(t.off) * t.weight; missed > c.most || missed == c.most && i < c.worst {
		c.most, c.worst = missed, i
	}
}

// choice is the state of choosePalette.
type choice struct {
	tones []tone // most frequent first
	cells []colourCell
}

// choose adds a colour to the palette and moves to its cell the tones that are
// nearer to it than to any other. By the triangle inequality no tone of a cell is
// if the new colour is at least twice as far from the cell's colour as the cell
// reaches (four times in squared distances).
func (c *choice) choose(colour uint32) {
	taken := newCell(colour)
	if len(c.cells) == 0 {
		for i := range c.tones {
			t := &c.tones[i]
			t.off = colourDistance(t.colour, colour)
			taken.add(t, int32(i))
		}
	}
	for k := range c.cells {
		old := &c.cells[k]
		apart := colourDistance(old.colour, colour)
		if apart >= 4*old.reach {
			continue
		}
		left := newCell(old.colour)
		for i := old.first; i != none; {
			t, at := &c.tones[i], i
			i = t.next
			if apart < 4*t.off { // the same test for a single tone
				if off := colourDistance(t.colour, colour); off < t.off {
					t.off = off
					taken.add(t, at)
					continue
				}
			}
			left.add(t, at)
		}
		*old = left
	}
	c.cells = append(c.cells, taken)
}

// missedMost returns the index of the tone with the largest error.
func (c *choice) missedMost() int32 {
	worst := &c.cells[0]
	for k := range c.cells {
		if cell := &c.cells[k]; cell.most > worst.most || cell.most == worst.most && cell.worst < worst.worst {
			worst = cell
		}
	}
	return worst.worst
}

// colourDistance returns the squared distance of two packed colours, opacity left
// out.
func colourDistance(a, b uint32) int32 {
	red, green, blue := int32(a>>24)-int32(b>>24), int32(a>>16&0xFF)-int32(b>>16&0xFF), int32(a>>8&0xFF)-int32(b>>8&0xFF)
	return red*red + green*green + blue*blue
}
