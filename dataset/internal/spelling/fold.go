package spelling

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"pleatstat/dataset/internal/problem"
)

// Fold brings a name to the form in which spellings are compared: without
// case, blanks and dashes. Every other sign counts, since a plus or a stroke may
// be all that tells two makers apart.
func Fold(s string) string {
	return strings.Map(func(r rune) rune {
		if isBlank(r) || isDash(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFC.String(s))
}

func isBlank(r rune) bool { return unicode.IsSpace(r) }

// minusSign is a dash too where people type part numbers, though Unicode files
// it with the signs of arithmetic.
const minusSign = '−'

func isDash(r rune) bool { return unicode.Is(unicode.Pd, r) || r == minusSign }

// difference says in what two spellings with the same folded name differ.
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

// dropped is a text without some of its characters.
func dropped(s string, is func(rune) bool) string {
	return strings.Map(func(r rune) rune {
		if is(r) {
			return -1
		}
		return r
	}, s)
}
