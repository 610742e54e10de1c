package words

import (
	"strings"
	"unicode"
)

// MaxName is the length of the longest name drawn, in characters. Longer names lose
// their middle; the maker is at the beginning, the part number at the end.
const MaxName = 32

// Name returns maker and part as one line of text fit for drawing, shortened to
// MaxName.
func Name(maker, part string) string {
	n := strings.TrimSpace(Clean(maker) + " " + Clean(part))
	if n == "" {
		return "(no name)"
	}
	return Shorten(n, MaxName)
}

// Clean replaces characters that cannot be drawn, or that would change the direction
// of the text around them, by "¿", and white space by spaces. The text of a log may
// contain any of them.
func Clean(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r' || unicode.Is(unicode.Zs, r):
			return ' '
		case r == unicode.ReplacementChar || unicode.IsControl(r) || unicode.Is(unicode.Cf, r) ||
			unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r) || unicode.Is(unicode.Co, r):
			return '¿'
		}
		return r
	}, s))
}

// Shorten replaces the middle of a text longer than n characters by an ellipsis.
func Shorten(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	head := (n - 1) * 3 / 5
	tail := n - 1 - head
	return strings.TrimSpace(string(r[:head])) + "…" + strings.TrimSpace(string(r[len(r)-tail:]))
}
