package wording

import (
	"math"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// Quantity is a value of a column as it is said: "55.1 in²", "$8.99". It stays
// on one line.
func Quantity(u dataset.Units, column string, base float64) string {
	return Unbroken(u.Format(column, base))
}

// Signless is the size of a difference in a column's unit, with enough decimals
// for a range whose half width is given (base units).
func Signless(u dataset.Units, column string, base, half float64) string {
	decimals := u.Of(column).Decimals
	if half != 0 {
		decimals = DecimalsFor(half * u.Of(column).PerBase)
	}
	return Precise(u, column, math.Abs(base), decimals)
}

// Precise is a value of a column with a given number of decimals; money keeps
// its own.
func Precise(u dataset.Units, column string, base float64, decimals int) string {
	if catalogue.Facts(column).Kind == catalogue.KindMoney {
		return Quantity(u, column, base)
	}
	unit := u.Of(column)
	return Unbroken(strings.TrimSpace(Fixed(base*unit.PerBase, decimals) + " " + unit.Symbol))
}

// Unbroken keeps s on one line.
func Unbroken(s string) string { return strings.ReplaceAll(s, " ", NBSP) }

// Spaced lets s be broken into lines again.
func Spaced(s string) string { return strings.ReplaceAll(s, NBSP, " ") }

// DecimalsFor is the number of decimals that shows a half width with one
// significant digit, or two where it starts with 1 or 2.
func DecimalsFor(half float64) int {
	half = math.Abs(half)
	if !(half > 0) || math.IsInf(half, 0) {
		return 2
	}
	power := math.Floor(math.Log10(half))
	decimals := -int(power)
	if half < 2.95*math.Pow(10, power) { // shown as 1 or 2
		decimals++
	}
	return min(max(decimals, 0), 9)
}

// Fixed is v with a number of decimals; what rounds to zero has no sign.
func Fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Times says a factor with its range: "1.82 times (95 % range 1.70 to 1.95".
func Times(ratio, low, high float64) (r, l, h string) {
	d := DecimalsFor((high - low) / 2)
	return Fixed(ratio, d), Fixed(low, d), Fixed(high, d)
}

// Percent is a share in whole per cent.
func Percent(share float64) string {
	return Fixed(100*share, 0) + NBSP + "%"
}

// Level is a p or q value: "0.003", "below 0.0001".
func Level(name string, p float64) string {
	switch {
	case math.IsNaN(p):
		return name + NBSP + "unknown"
	case p < 0.0001:
		return name + " below" + NBSP + "0.0001"
	}
	return name + NBSP + "=" + NBSP + strconv.FormatFloat(p, 'g', 2, 64)
}

// ShortLevel is a p or q value for a table.
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

// Kept is a number in the one or two digits a listener keeps.
func Kept(v float64) string {
	return Shortest(Fixed(v, DecimalsFor(v)))
}

// Shortest leaves out the noughts at the end of a number's decimals.
func Shortest(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// WholeThings takes the decimals off a number of whole things.
func WholeThings(column, value string) string {
	if Counts(column) {
		return Shortest(value)
	}
	return value
}

// Value is a quantity, whole things whole.
func Value(u dataset.Units, column string, base float64) string {
	if Counts(column) {
		base = math.Round(base)
	}
	return WholeThings(column, Quantity(u, column, base))
}

// Bare is a value in its unit, without the unit.
func Bare(base float64, unit dataset.Unit) string {
	if math.IsNaN(base) {
		return "–"
	}
	return Minus(Fixed(base*unit.PerBase, unit.Decimals))
}

// Money is an amount as a listener keeps it: whole from 10 up.
func Money(u dataset.Units, v float64) string {
	if v < 9.995 {
		return Quantity(u, "price", v)
	}
	return strings.Replace(Quantity(u, "price", math.Round(v)), ".00", "", 1)
}
