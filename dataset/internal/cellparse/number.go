// Package cellparse parses one cell of a log: numbers with fractions, units,
// currency signs and several readings; dates of three precisions; threads;
// efficiency claims; blanks.
//
// It makes no decision that needs more than one cell. Whether 1,234 has a
// decimal or a thousands mark, and whether 3/8/2024 is in March or in August,
// is passed in by the caller; each result reports what the cell shows about it.
package cellparse

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Mark is the decimal mark of a file.
type Mark uint8

const (
	Point     Mark = iota // 0.48, thousands 1,234
	Comma                 // 0,48, thousands 1.234
	Undecided             // the file does not show it
)

// Evidence is what one number shows about the decimal mark.
type Evidence uint8

const (
	Silent       Evidence = iota // no mark
	ShowsPoint                   // can only be read with a decimal point
	ShowsComma                   // can only be read with a decimal comma
	DependsPoint                 // 1.234: depends on the file
	DependsComma                 // 1,234: depends on the file
)

// MaxAbs is the greatest absolute value of a number; no bench measurement is
// larger.
const MaxAbs = 1e12

// MinAbs is the least absolute value of a number other than 0.
const MinAbs = 1e-12

// Number is one reading.
type Number struct {
	Value    float64
	Unit     string // unit or currency as written, "" if none
	Decimals int    // digits after the decimal mark; -1 for a fraction
	Approx   bool   // written with ~, "about", "(est)" or ?
	Pack     uint16 // number of filters that a price is for, 0 if not stated
	Evidence Evidence
}

// Error says why a cell cannot be read and how to write it.
type Error struct{ Reason string }

func (e *Error) Error() string { return e.Reason }

func fail(reason string) error { return &Error{Reason: reason} }

// ambiguous is returned for a number that depends on the decimal mark of the
// file if that mark is undecided.
var ambiguous = &Error{Reason: "could be a thousand or a decimal number; nothing in the file tells which. Write it without a thousands mark, with the decimals the whole file uses"}

// ParseNumber parses a cell with one number.
func ParseNumber(text string, mark Mark) (Number, error) {
	var n Number
	if Quick(text, mark, &n) {
		return n, nil
	}
	n = Number{}
	s := clean(text)
	if s == "" {
		return Number{}, fail("is empty")
	}
	rest, ok := cutApprox(s)
	if ok {
		n.Approx = true
	}
	if rest, ok = trimApprox(rest); ok {
		n.Approx = true
	}
	prefix, body, suffix := split(rest)
	if prefix, ok = cutApprox(prefix); ok { // "$ ~8"
		n.Approx = true
	}
	if prefix != "" {
		if !IsCurrency(prefix) {
			return Number{}, notANumber(s)
		}
		n.Unit = prefix
	}
	if body == "" {
		return Number{}, notANumber(s)
	}
	if hasDigit(suffix) || strings.Contains(suffix, "ack") { // 12.99 (2 pack)
		suffix, n.Pack = cutPack(suffix)
	}
	if suffix != "" {
		switch {
		case n.Unit != "" && !IsCurrency(suffix):
			return Number{}, fail("has two units; one number, one unit")
		case n.Unit != "" && !sameMoney(n.Unit, suffix):
			return Number{}, fail("has two currencies; one price, one currency")
		case hasDigit(suffix), strings.Trim(suffix, "OolI") == "" && strings.HasSuffix(s, body+suffix):
			return Number{}, notANumber(s) // 1O.5, 5l
		}
		n.Unit = suffix
	}
	if err := n.readBody(body, mark); err != nil {
		return n, err
	}
	switch size := math.Abs(n.Value); {
	case size > MaxAbs:
		return n, fail("is larger than anything a bench measures")
	case size < MinAbs && (size > 0 || notZero(body)):
		return n, fail("is smaller than anything a bench measures")
	}
	return n, nil
}

// notZero reports whether a number that was rounded to 0 has other digits:
// 1e-400 is too small for a float64.
func notZero(body string) bool {
	mantissa, _, _ := strings.Cut(strings.ToLower(body), "e")
	return strings.ContainsAny(mantissa, "123456789")
}

// sameMoney reports whether a sign before a price and a word after it can mean
// one currency: true for $12 CAD, false for USD 12 EUR.
func sameMoney(before, behind string) bool {
	a, b := Currency(before), Currency(behind)
	if a == "$" {
		switch b {
		case "AUD", "CAD", "NZD", "HKD", "SGD", "MXN":
			return true
		}
	}
	return a == b
}

// Quick parses the most frequent cells into n: digits with at most one point,
// alone or after a dollar sign. It returns false for all others; ParseReadings
// parses those.
func Quick(s string, mark Mark, n *Number) bool {
	*n = Number{}
	if s != "" && s[0] == '$' {
		n.Unit = "$"
		s = s[1:]
	}
	if len(s) == 0 || len(s) > 12 { // below MaxAbs
		return false
	}
	var mantissa int64
	point := -1
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= '0' && c <= '9':
			mantissa = mantissa*10 + int64(c-'0')
		case c == '.' && point < 0 && i > 0:
			point = i
		default:
			return false
		}
	}
	if point < 0 {
		n.Value = float64(mantissa)
		return true
	}
	n.Decimals = len(s) - point - 1
	n.Evidence = ShowsPoint
	switch {
	case n.Decimals == 0:
		return false
	case n.Decimals == 3 && point <= 3 && s[0] != '0':
		n.Evidence = DependsPoint
		if mark != Point {
			return false
		}
	}
	// Both are integers that a float64 holds exactly, so the quotient is
	// correctly rounded.
	n.Value = float64(mantissa) / pow10[n.Decimals]
	return true
}

var pow10 = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12}

// clean trims a cell and replaces look-alike characters by one form.
func clean(s string) string {
	return strings.TrimFunc(strings.Map(func(r rune) rune {
		switch r {
		case '\u2212', '\u2013', '\u2014', '\u2010', '\u2011': // minus sign, dashes, hyphens
			return '-'
		case '\u2044', '\u2215': // fraction slash, division slash
			return '/'
		case '\u200b', '\ufeff', '\u00ad':
			return -1
		}
		return r
	}, s), func(r rune) bool { return unicode.IsSpace(r) })
}

// split splits a cell into the text before the number, the number with its
// marks, and the text after it.
func split(s string) (prefix, body, suffix string) {
	start := strings.IndexFunc(s, startsNumber)
	if start < 0 {
		return s, "", ""
	}
	end := start
	for i, r := range s[start:] {
		if !inNumber(r) {
			break
		}
		end = start + i + utf8.RuneLen(r)
	}
	body = strings.TrimRightFunc(s[start:end], func(r rune) bool { return unicode.IsSpace(r) || r == '\'' || r == '\u2019' })
	suffix = strings.TrimSpace(s[start+len(body):])
	if rest, exponent, ok := cutExponent(suffix); ok {
		body, suffix = body+exponent, rest
	}
	return strings.TrimSpace(s[:start]), body, suffix
}

func startsNumber(r rune) bool {
	return r >= '0' && r <= '9' || r == '.' || r == ',' || r == '-' || r == '+' || vulgar(r) != 0
}

func inNumber(r rune) bool {
	return startsNumber(r) || r == '/' || r == '\'' || r == '\u2019' || unicode.IsSpace(r)
}

// cutExponent removes the exponent of 1.23E+05 from the text after a number.
func cutExponent(suffix string) (rest, exponent string, ok bool) {
	if suffix == "" || suffix[0] != 'e' && suffix[0] != 'E' {
		return suffix, "", false
	}
	i := 1
	if i < len(suffix) && (suffix[i] == '+' || suffix[i] == '-') {
		i++
	}
	digits := i
	for i < len(suffix) && suffix[i] >= '0' && suffix[i] <= '9' {
		i++
	}
	if i == digits || i-digits > 3 {
		return suffix, "", false
	}
	return strings.TrimSpace(suffix[i:]), suffix[:i], true
}

// hasDigit reports digits after a number that do not belong to a unit, as those
// of in2 and cm^3 do.
func hasDigit(s string) bool {
	unit := strings.TrimRight(s, "23")
	if len(s)-len(unit) == 1 && unit != "" && !unicode.IsSpace(rune(unit[len(unit)-1])) {
		s = unit
	}
	return strings.ContainsFunc(s, unicode.IsDigit)
}

// notANumber returns the error for a text that is not a number, with a
// suggestion if letters were typed for digits.
func notANumber(s string) error {
	if strings.HasPrefix(s, "#") {
		return fail("is a spreadsheet's error value; repair the formula and save again")
	}
	if strings.HasPrefix(s, "=") {
		return fail("is a formula; save the values instead")
	}
	if repaired, ok := letters(s); ok {
		return fail("is not a number; perhaps " + repaired + " (a letter where a digit should stand)")
	}
	if strings.ContainsRune(s, '±') {
		return fail("has a tolerance; write the number alone, or the readings as 0.47; 0.48; 0.48")
	}
	return fail("is not a number; write digits, or leave it blank")
}

// letters replaces letters that were typed for digits and reports whether the
// result is a number.
func letters(s string) (string, bool) {
	t := strings.NewReplacer("O", "0", "o", "0", "l", "1", "I", "1").Replace(s)
	if t == s || !strings.ContainsFunc(s, unicode.IsDigit) {
		return "", false
	}
	_, err := strconv.ParseFloat(strings.Replace(t, ",", ".", 1), 64)
	return t, err == nil
}
