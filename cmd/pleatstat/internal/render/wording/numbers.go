package wording

import (
	"math"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// Quantity returns a value of a column with its unit, "55.1 in²" or "$8.99". It
// stays on one line.
func Quantity(u dataset.Units, column string, base float64) string {
	return Unbroken(u.Format(column, base))
}

// Signless returns the size of a difference in a column's unit. half is the half width
// of its range in base units, which sets the decimals (see DecimalsFor); 0 means those
// of the unit.
func Signless(u dataset.Units, column string, base, half float64) string {
	decimals := u.Of(column).Decimals
	if half != 0 {
		decimals = DecimalsFor(half * u.Of(column).PerBase)
	}
	return Precise(u, column, math.Abs(base), decimals)
}

// Precise returns a value of a column with a given number of decimals; money keeps its
// own.
func Precise(u dataset.Units, column string, base float64, decimals int) string {
	if catalogue.Facts(column).Kind == catalogue.KindMoney {
		return Quantity(u, column, base)
	}
	unit := u.Of(column)
	return Unbroken(strings.TrimSpace(Fixed(base*unit.PerBase, decimals) + " " + unit.Symbol))
}

// Unbroken keeps s on one line.
func Unbroken(s string) string { return strings.ReplaceAll(s, " ", NBSP) }

// Spaced lets s be broken into lines again: it undoes Unbroken.
func Spaced(s string) string { return strings.ReplaceAll(s, NBSP, " ") }

// DecimalsFor returns the number of decimals that shows a half width with one
// significant digit, or two if it starts with 1 or 2.
func DecimalsFor(half float64) int {
	half = math.Abs(half)
	if !(half > 0) || math.IsInf(half, 0) {
		return 2
	}
	power := math.Floor(math.Log10(half))
	decimals := -int(power)
	if half < 2.95*math.Pow(10, power) { // starts with 1 or 2, rounded
		decimals++
	}
	return min(max(decimals, 0), 9)
}

// Fixed returns v with a number of decimals; what rounds to zero has no sign.
func Fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Times returns a factor and its range with the same number of decimals: "1.82",
// "1.70", "1.95".
func Times(ratio, low, high float64) (r, l, h string) {
	d := DecimalsFor((high - low) / 2)
	return Fixed(ratio, d), Fixed(low, d), Fixed(high, d)
}

// Percent returns a share in whole per cent.
func Percent(share float64) string {
	return Fixed(100*share, 0) + NBSP + "%"
}

// Level returns a p or q value with its name: "p = 0.003", "q below 0.0001".
func Level(name string, p float64) string {
	switch {
	case math.IsNaN(p):
		return name + NBSP + "unknown"
	case p < 0.0001:
		return name + " below" + NBSP + "0.0001"
	}
	return name + NBSP + "=" + NBSP + strconv.FormatFloat(p, 'g', 2, 64)
}

// ShortLevel returns a p or q value for a table.
func ShortLevel(p float64) string {
	switch {
	case math.IsNaN(p):
		return "–"
	case p < 0.0001:
		return "<0.0001"
	}
	return strconv.FormatFloat(p, 'f', 4, 64)
}

// Range95 puts a range in words.
func Range95(low, high string) string { return "95" + NBSP + "% range " + low + " to " + high }

// Signed puts the sign of v before s.
func Signed(v float64, s string) string {
	if v < 0 {
		return "−" + s
	}
	return "+" + s
}

// Minus writes the sign of a negative number as a minus sign.
func Minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// Rounded returns a number in the digits a listener remembers: one or two, or its whole
// part if that has more.
func Rounded(v float64) string {
	return TrimZeros(Fixed(v, DecimalsFor(v)))
}

// TrimZeros drops the zeros at the end of a number's decimals.
func TrimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// WholeThings drops zero decimals from a value of a column of counts.
func WholeThings(column, value string) string {
	if Counts(column) {
		return TrimZeros(value)
	}
	return value
}

// Value returns a value of a column with its unit; counts are rounded to whole
// numbers.
func Value(u dataset.Units, column string, base float64) string {
	if Counts(column) {
		base = math.Round(base)
	}
	return WholeThings(column, Quantity(u, column, base))
}

// Bare returns a value in a unit, without the unit's symbol.
func Bare(base float64, unit dataset.Unit) string {
	if math.IsNaN(base) {
		return "–"
	}
	return Minus(Fixed(base*unit.PerBase, unit.Decimals))
}

// Money returns an amount in the digits a listener remembers: whole from 10 up.
func Money(u dataset.Units, v float64) string {
	if v < 9.995 {
		return Quantity(u, "price", v)
	}
	return strings.Replace(Quantity(u, "price", math.Round(v)), ".00", "", 1)
}
