package dataset

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

// fuse takes the apostrophe of Defuse off.
func fuse(s string) string {
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
