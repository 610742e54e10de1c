package words

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Minus is the typographic minus sign, which is as wide as a plus sign.
const Minus = "−"

// NBSP is the non-breaking space, which keeps a number and its unit on one line.
const NBSP = "\u00a0"

// Signed writes v with its sign and the given number of decimals; zero after rounding
// has no sign.
func Signed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	switch {
	case strings.Trim(s, "0.") == "":
		return s
	case v < 0:
		return Minus + s
	}
	return "+" + s
}

// Number writes v without exponent or trailing zeros, with spaces between thousands
// from 10 000 up.
func Number(v float64) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	whole, fraction, found := strings.Cut(s, ".")
	if len(whole) > 4 {
		var b strings.Builder
		for i, r := range whole {
			if i > 0 && (len(whole)-i)%3 == 0 {
				b.WriteByte(' ')
			}
			b.WriteRune(r)
		}
		whole = b.String()
	}
	if found {
		whole += "." + fraction
	}
	if v < 0 {
		return Minus + whole
	}
	return whole
}

// Significant rounds v to n significant digits and writes it as Number does.
func Significant(v float64, n int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return Number(v)
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', n, 64), 64)
	if err != nil {
		return Number(v)
	}
	return Number(r)
}

// SignedPercent writes a fraction in per cent, with its sign.
func SignedPercent(share float64, decimals int) string {
	return Signed(100*share, decimals) + NBSP + "%"
}

// Percent writes a ratio as a signed percentage, or as a factor if it is 3 or more,
// where a factor is easier to grasp.
func Percent(ratio float64) string {
	if ratio >= 3 {
		return "×" + Significant(ratio, 2)
	}
	return SignedPercent(ratio-1, 0)
}

// WithUnit joins a number and its unit. A currency sign is written before the
// number, as in "£2.40 per 100 g", any other unit after it.
func WithUnit(number, symbol string) string {
	if symbol == "" {
		return number
	}
	if r, size := utf8.DecodeRuneInString(symbol); unicode.Is(unicode.Sc, r) && (size == len(symbol) || symbol[size] == ' ') {
		return symbol[:size] + number + symbol[size:]
	}
	return number + NBSP + symbol
}
