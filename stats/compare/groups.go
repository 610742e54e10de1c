package compare

import (
	"cmp"

	"pleatstat/dataset/catalogue"
)

// GroupOf is the group that a column belongs to, a derived one to that of its first
// input; all that is not known belongs to the last.
func GroupOf(column string) Group {
	return cmp.Or(Group(catalogue.Facts(catalogue.Inputs(column)[0]).About), OfValves)
}
