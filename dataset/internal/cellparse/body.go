package cellparse

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// readBody parses the number itself: 41 3/8, 41-3/8, 41⅜, 3/8, 0.48, 0,48,
// 1.234,5, 1 234,5, 1'234.5, 1.2e3.
func (n *Number) readBody(body string, mark Mark) error {
	if strings.ContainsRune(body, '/') || strings.ContainsFunc(body, func(r rune) bool { return vulgar(r) != 0 }) {
		v, err := fraction(body)
		n.Value, n.Decimals = v, -1
		return err
	}
	negative := false
	switch body[0] {
	case '-':
		negative, body = true, strings.TrimSpace(body[1:])
	case '+':
		body = strings.TrimSpace(body[1:])
	}
	mantissa, exponent := body, ""
	if i := strings.IndexAny(body, "eE"); i >= 0 {
		mantissa, exponent = body[:i], body[i:]
	}
	if strings.ContainsAny(mantissa, "+-") {
		return fail("looks like a range or two numbers; write several readings as 0.47; 0.48; 0.48")
	}
	digits, err := n.digits(mantissa, mark)
	if err != nil {
		return err
	}
	v, err := strconv.ParseFloat(digits+exponent, 64)
	if err != nil || math.IsInf(v, 0) {
		return fail("is not a number; write digits, or leave it blank")
	}
	if negative {
		v = -v
	}
	n.Value = v
	return nil
}

// digits converts a decimal number to digits with at most one point.
func (n *Number) digits(s string, mark Mark) (string, error) {
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	grouped := strings.ContainsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || r == '\'' || r == '\u2019' })
	if grouped {
		return n.spaced(s, points, commas)
	}
	switch {
	case points == 0 && commas == 0:
		return s, allDigits(s)
	case points > 0 && commas > 0: // the last mark is the decimal one
		if strings.LastIndexByte(s, '.') > strings.LastIndexByte(s, ',') {
			n.Evidence = ShowsPoint
			return n.decimals(s, ',', '.')
		}
		n.Evidence = ShowsComma
		return n.decimals(s, '.', ',')
	case commas > 1:
		n.Evidence = ShowsPoint
		return n.decimals(s, ',', '.')
	case points > 1:
		n.Evidence = ShowsComma
		return n.decimals(s, '.', ',')
	}
	sign := byte('.')
	if commas == 1 {
		sign = ','
	}
	if !dependsOnFile(s, sign) {
		if sign == '.' {
			n.Evidence = ShowsPoint
			return n.decimals(s, ',', '.')
		}
		n.Evidence = ShowsComma
		return n.decimals(s, '.', ',')
	}
	n.Evidence = DependsPoint
	if sign == ',' {
		n.Evidence = DependsComma
	}
	switch {
	case mark == Undecided:
		return "", ambiguous
	case mark == Point:
		return n.decimals(s, ',', '.')
	}
	return n.decimals(s, '.', ',')
}

// dependsOnFile reports whether the only mark of a number may group thousands:
// it has exactly three digits after it and one to three before it, the first
// not zero.
func dependsOnFile(s string, mark byte) bool {
	i := strings.IndexByte(s, mark)
	return i >= 1 && i <= 3 && len(s)-i-1 == 3 && s[0] != '0'
}

// decimals drops the thousands marks, checking that one stands every three
// digits, and replaces the decimal mark by a point.
func (n *Number) decimals(s string, thousands, decimal byte) (string, error) {
	whole, part := s, ""
	if i := strings.IndexByte(s, decimal); i >= 0 {
		whole, part = s[:i], s[i+1:]
		if part == "" || allDigits(part) != nil {
			return "", fail("is not a number; digits must follow the decimal mark")
		}
	}
	n.Decimals = len(part)
	groups := strings.Split(whole, string(thousands))
	for i, g := range groups {
		if whole == "" && part != "" {
			break // .48
		}
		if allDigits(g) != nil || len(groups) > 1 && (i > 0 && len(g) != 3 || i == 0 && len(g) > 3) {
			return "", fail("has its marks in odd places; write it with one decimal mark and no thousands mark")
		}
	}
	whole = strings.Join(groups, "")
	if part == "" {
		return whole, nil
	}
	return whole + "." + part, nil
}

// spaced parses numbers grouped by spaces or apostrophes. A plain space without
// a decimal mark is not taken for a thousands mark: 41 375 may be 41.375.
func (n *Number) spaced(s string, points, commas int) (string, error) {
	plainSpace := strings.ContainsAny(s, " \t\n\r")
	if points+commas > 1 || plainSpace && points+commas == 0 {
		return "", fail("looks like two numbers; write several readings as 0.47; 0.48; 0.48, and thousands without a gap")
	}
	decimal := byte('.')
	if commas == 1 {
		decimal, n.Evidence = ',', ShowsComma
	} else if points == 1 {
		n.Evidence = ShowsPoint
	}
	const group = '\x00'
	s = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '\'' || r == '\u2019' {
			return group
		}
		return r
	}, s)
	return n.decimals(s, group, decimal)
}

func allDigits(s string) error {
	if s == "" {
		return fail("is not a number; write digits, or leave it blank")
	}
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return fail("is not a number; write digits, or leave it blank")
		}
	}
	return nil
}
