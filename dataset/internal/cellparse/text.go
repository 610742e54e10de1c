package cellparse

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// EscapeFormula puts an apostrophe before a text that spreadsheet programs would run
// as a formula: one that starts, after spaces, with =, +, -, @ or their
// full-width forms. Numbers and a single dash are left unchanged. Reading a log
// removes the apostrophe again.
func EscapeFormula(s string) string {
	start := strings.TrimLeft(s, " \t\r\n\u00a0")
	if start == "-" || !startsFormula(start) || plainly(start) {
		return s
	}
	return "'" + s
}

// UnescapeFormula removes the apostrophe that EscapeFormula adds.
func UnescapeFormula(s string) string {
	if rest, found := strings.CutPrefix(s, "'"); found && startsFormula(strings.TrimLeft(rest, " \t\r\n\u00a0")) {
		return rest
	}
	return s
}

func startsFormula(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return s != "" && strings.ContainsRune("=+-@＝＋－＠", r)
}

// plainly reports whether a text is a number written in digits.
func plainly(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil && !strings.ContainsFunc(s, func(r rune) bool { return unicode.IsLetter(r) && r != 'e' && r != 'E' })
}

// CleanText trims a text, replaces every run of white space by one space and
// drops control, formatting and replacement characters. odd reports whether any
// were dropped.
func CleanText(s string) (clean string, odd bool) {
	plain := true
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < 0x20 || c >= 0x7f || c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' ') {
			plain = false
			break
		}
	}
	if plain {
		return s, false
	}
	kept := strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar, unicode.IsControl(r), unicode.Is(unicode.Cf, r):
			odd = true
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.Fields(kept), " "), odd
}

// BlankText reports whether a text is blank once invisible characters are
// removed.
func BlankText(s string) bool {
	clean, _ := CleanText(s)
	return IsBlank(UnescapeFormula(clean))
}
