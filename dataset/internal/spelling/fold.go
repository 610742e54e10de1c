package spelling

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"pleatstat/dataset/internal/problem"
)

// Fold returns the form in which names are compared: without case, spaces and
// dashes. All other characters count, since a plus or a slash may be the only
// difference between two makers.
func Fold(s string) string {
	return strings.Map(func(r rune) rune {
		if isBlank(r) || isDash(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFC.String(s))
}

func isBlank(r rune) bool { return unicode.IsSpace(r) }

// minusSign is used as a dash in part numbers, though Unicode classifies it as
// a mathematical symbol.
const minusSign = '−'

func isDash(r rune) bool { return unicode.Is(unicode.Pd, r) || r == minusSign }

// difference describes how two spellings with the same folded name differ.
func difference(a, b string) string {
	a, b = norm.NFC.String(a), norm.NFC.String(b)
	gap := func(r rune) bool { return isBlank(r) || isDash(r) }
	var what []string
	if dropped(a, gap) != dropped(b, gap) {
		what = append(what, "case")
	}
	a, b = strings.Map(unicode.ToLower, a), strings.Map(unicode.ToLower, b)
	if dropped(a, isDash) != dropped(b, isDash) {
		what = append(what, "blanks")
	}
	if dropped(a, isBlank) != dropped(b, isBlank) {
		what = append(what, "dashes")
	}
	switch {
	case what == nil && a == b:
		return "the same letters, stored in another way"
	case what == nil:
		what = []string{"the order of blanks", "dashes"}
	}
	return "differs in " + problem.List(what)
}

// dropped returns a text without the given characters.
func dropped(s string, is func(rune) bool) string {
	return strings.Map(func(r rune) rune {
		if is(r) {
			return -1
		}
		return r
	}, s)
}
