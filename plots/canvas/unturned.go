package canvas

import (
	"image"

	"gonum.org/v1/plot/vg"
)

// unturned is embedded for what vg.Canvas asks for and no chart does: turn, move or
// scale what is drawn, or hold a picture.
type unturned struct{}

const notDone = "canvas: no chart turns, moves or scales what it draws, or holds a picture"

func (unturned) Push()                               { panic(notDone) }
func (unturned) Pop()                                { panic(notDone) }
func (unturned) Rotate(float64)                      { panic(notDone) }
func (unturned) Translate(vg.Point)                  { panic(notDone) }
func (unturned) Scale(x, y float64)                  { panic(notDone) }
func (unturned) DrawImage(vg.Rectangle, image.Image) { panic(notDone) }
