package canvas

import (
	"image"

	"gonum.org/v1/plot/vg"
)

// unturned implements the methods of vg.Canvas that no chart uses: transformations
// and pictures. They panic.
type unturned struct{}

const notDone = "canvas: no chart turns, moves or scales what it draws, or holds a picture"

func (unturned) Push()                               { panic(notDone) }
func (unturned) Pop()                                { panic(notDone) }
func (unturned) Rotate(float64)                      { panic(notDone) }
func (unturned) Translate(vg.Point)                  { panic(notDone) }
func (unturned) Scale(x, y float64)                  { panic(notDone) }
func (unturned) DrawImage(vg.Rectangle, image.Image) { panic(notDone) }
