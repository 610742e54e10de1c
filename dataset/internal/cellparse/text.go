package cellparse

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Defuse puts an apostrophe before a text that spreadsheet programs take for a
// formula: one that starts, after blanks, with =, +, -, @ or their full-width
// forms. Numbers and a dash alone are left as they are. Reading a log takes the
// apostrophe off again.
func Defuse(s string) string {
	start := strings.TrimLeft(s, " \t\r\n\u00a0")
	if start == "-" || !startsFormula(start) || plainly(start) {
		return s
	}
	return "'" + s
}

// Fuse takes the apostrophe of Defuse off.
func Fuse(s string) string {
	if rest, found := strings.CutPrefix(s, "'"); found && startsFormula(strings.TrimLeft(rest, " \t\r\n\u00a0")) {
		return rest
	}
	return s
}

func startsFormula(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return s != "" && strings.ContainsRune("=+-@＝＋－＠", r)
}

// plainly says whether a text is a number written with digits.
func plainly(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil && !strings.ContainsFunc(s, func(r rune) bool { return unicode.IsLetter(r) && r != 'e' && r != 'E' })
}

// CleanText trims a text, makes every run of blanks one space and drops control
// characters. Odd says that some were dropped.
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

// BlankText says whether nothing is left of a text that can be seen.
func BlankText(s string) bool {
	clean, _ := CleanText(s)
	return IsBlank(Fuse(clean))
}
