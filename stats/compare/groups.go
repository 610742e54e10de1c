package compare

import (
	"cmp"

	"pleatstat/dataset/catalogue"
)

// GroupOf returns the group that a column belongs to; a derived column belongs to
// that of its first input, an unknown one to the last group.
func GroupOf(column string) Group {
	return cmp.Or(Group(catalogue.Facts(catalogue.Inputs(column)[0]).About), OfValves)
}
