package compare

import (
	"cmp"

	"pleatstat/dataset"
)

// GroupOf returns the group that a column belongs to; a derived column belongs to
// that of its first input, an unknown one to the last group.
func GroupOf(column string) Group {
	c, _ := dataset.LookUp(dataset.Inputs(column)[0])
	return cmp.Or(Group(c.About), OfValves)
}
