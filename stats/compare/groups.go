package compare

import (
	"cmp"

	"pleatstat/dataset"
)

// GroupOf is the group that a column belongs to, a derived one to that of its first
// input; all that is not known belongs to the last.
func GroupOf(column string) Group {
	c, _ := dataset.LookUp(dataset.Inputs(column)[0])
	return cmp.Or(Group(c.About), OfValves)
}
