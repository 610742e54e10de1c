package cellparse

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// maxDenominator is the greatest denominator of a fraction: rulers and tapes
// are divided to 1/64 in, rarely to 1/128.
const maxDenominator = 128

// vulgar returns the value of a one-character fraction, 0 for any other rune.
func vulgar(r rune) float64 {
	switch r {
	case '½':
		return 1.0 / 2
	case '¼':
		return 1.0 / 4
	case '¾':
		return 3.0 / 4
	case '⅐':
		return 1.0 / 7
	case '⅑':
		return 1.0 / 9
	case '⅒':
		return 1.0 / 10
	case '⅓':
		return 1.0 / 3
	case '⅔':
		return 2.0 / 3
	case '⅕':
		return 1.0 / 5
	case '⅖':
		return 2.0 / 5
	case '⅗':
		return 3.0 / 5
	case '⅘':
		return 4.0 / 5
	case '⅙':
		return 1.0 / 6
	case '⅚':
		return 5.0 / 6
	case '⅛':
		return 1.0 / 8
	case '⅜':
		return 3.0 / 8
	case '⅝':
		return 5.0 / 8
	case '⅞':
		return 7.0 / 8
	}
	return 0
}

// fraction parses 41 3/8, 41-3/8, 41⅜, 41 ⅜, 3/8 and ⅜, with an optional sign.
func fraction(body string) (float64, error) {
	sign := 1.0
	switch body[0] {
	case '-':
		sign, body = -1, strings.TrimSpace(body[1:])
	case '+':
		body = strings.TrimSpace(body[1:])
	}
	if strings.Count(body, "/") == 2 {
		return 0, fail("looks like a date; a number is wanted here")
	}
	part, whole := 0.0, body
	if r := []rune(body); len(r) > 0 && vulgar(r[len(r)-1]) != 0 {
		part = vulgar(r[len(r)-1])
		whole = string(r[:len(r)-1])
	} else {
		slash := strings.IndexByte(body, '/')
		if slash < 0 {
			return 0, badFraction()
		}
		denominator, err := count(body[slash+1:])
		if err != nil || denominator < 2 || denominator > maxDenominator {
			return 0, badFraction()
		}
		before := strings.TrimRightFunc(body[:slash], unicode.IsSpace)
		cut := strings.LastIndexFunc(before, func(r rune) bool { return r < '0' || r > '9' })
		numerator, err := count(before[cut+1:])
		if err != nil {
			return 0, badFraction()
		}
		whole = before[:cut+1]
		if whole != "" && numerator >= denominator {
			return 0, badFraction()
		}
		part = numerator / denominator
	}
	whole = strings.TrimFunc(whole, func(r rune) bool { return unicode.IsSpace(r) })
	whole = strings.TrimSpace(strings.TrimSuffix(whole, "-"))
	if whole == "" {
		return sign * part, nil
	}
	n, err := count(whole)
	if err != nil {
		return 0, badFraction()
	}
	return sign * (n + part), nil
}

func badFraction() error { return fail("is not a fraction that can be read; write 41 3/8 or 41.375") }

// count parses a whole number below 2³⁰.
func count(s string) (float64, error) {
	s = strings.TrimSpace(s)
	if err := allDigits(s); err != nil {
		return math.NaN(), err
	}
	v, err := strconv.ParseUint(s, 10, 30)
	return float64(v), err
}
