package render

import (
	"math"
	"strings"

	"pleatstat/dataset"
)

// headed is the heading of a CSV column with its unit: "value (in²)".
func headed(key, unit string) string {
	if unit = strings.TrimSpace(unit); unit == "" {
		return key
	}
	return key + " (" + unit + ")"
}

// unitOf is the unit that a column of the log is shown in.
func unitOf(u dataset.Units, column string) string { return strings.TrimSpace(u.Of(column).Symbol) }

// inUnit is a mean of a column for a CSV cell, in the unit the log has it in and
// with one digit more than its readings have; money keeps its own. A missing one
// is left blank.
func inUnit(u dataset.Units, column string, base float64) string {
	if c, _ := dataset.LookUp(column); c.Kind == dataset.KindMoney {
		return digitsOf(base*u.Of(column).PerBase, u.Of(column).Decimals)
	}
	return digitsOf(base*u.Of(column).PerBase, u.Of(column).Decimals+1)
}

// inRange is a difference for a CSV cell, with one digit more than a range of
// that half width is told with.
func inRange(v, half float64) string { return digitsOf(v, decimalsFor(half)+1) }

// digitsOf is a number for a CSV cell with at most so many decimals, "" for a
// missing one.
func digitsOf(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return shortest(fixed(v, decimals))
}

// hundred turns a fraction into per cent.
const hundred = 100
