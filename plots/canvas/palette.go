package canvas

import (
	"cmp"
	"image/color"
	"math"
	"slices"
)

// entry is a colour of the picture, packed as red, green, blue, opacity from
// the highest byte down.
type entry struct {
	colour uint32
	pixels int32
	index  uint8 // of the palette's colour nearest to it
}

const (
	paletteSize = 256 // entries a PNG palette may have
	frequent    = 128 // of them go to the most frequent colours
)

// choosePalette returns all colours of a picture, most frequent first, or, of
// more than a palette holds, the most frequent ones and then, one by one, the
// colour that is missed most: by its distance from those chosen and (less) by
// its frequency. Every entry gets the index of the nearest.
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

// tone is a colour that may come into the palette, in the cell of the one
// chosen that is nearest to it (of equally near ones, the first).
type tone struct {
	colour uint32
	off    int32   // squared distance from the chosen colour
	weight float64 // √pixels
	next   int32   // tone of the cell, none at its end
	place  uint16  // among the entries
}

const none = -1

// colourCell is a chosen colour and the tones nearest to it, in no order; at
// least the colour itself.
type colourCell struct {
	colour uint32
	first  int32   // its tones
	reach  int32   // the largest distance of them
	worst  int32   // the tone missed most, of equal ones the first
	most   float64 // how much: its distance times its weight
}

func newCell(colour uint32) colourCell { return colourCell{colour: colour, first: none, most: -1} }

// add takes in a tone, the one at i.
func (c *colourCell) add(t *tone, i int32) {
	t.next, c.first = c.first, i
	if t.off > c.reach {
		c.reach = t.off
	}
	if missed := float64(t.off) * t.weight; missed > c.most || missed == c.most && i < c.worst {
		c.most, c.worst = missed, i
	}
}

// choice is a palette in the making.
type choice struct {
	tones []tone // most frequent first
	cells []colourCell
}

// choose adds a colour and gives it the tones that lie nearer to it than to any
// before. None of a cell does where the new colour is at least twice as far
// from its own as the cell reaches.
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
			if apart < 4*t.off { // as for the cell
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

// missedMost is the tone missed most.
func (c *choice) missedMost() int32 {
	worst := &c.cells[0]
	for k := range c.cells {
		if cell := &c.cells[k]; cell.most > worst.most || cell.most == worst.most && cell.worst < worst.worst {
			worst = cell
		}
	}
	return worst.worst
}

// colourDistance is the squared distance of two packed colours.
func colourDistance(a, b uint32) int32 {
	red, green, blue := int32(a>>24)-int32(b>>24), int32(a>>16&0xFF)-int32(b>>16&0xFF), int32(a>>8&0xFF)-int32(b>>8&0xFF)
	return red*red + green*green + blue*blue
}
