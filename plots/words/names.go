package words

import (
	"strings"
	"unicode"
)

// MaxName is the longest name drawn, in characters; longer ones keep their
// beginning and end, where maker and part number stand.
const MaxName = 32

// Name returns maker and part as one line of text fit for drawing.
func Name(maker, part string) string {
	n := strings.TrimSpace(Clean(maker) + " " + Clean(part))
	if n == "" {
		return "(no name)"
	}
	return Shorten(n, MaxName)
}

// Clean replaces what cannot be drawn as a character, or would change the
// direction of the text around it, by a visible mark. The log's text may hold
// anything.
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

// Shorten cuts the middle out of a text longer than n characters.
func Shorten(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	head := (n - 1) * 3 / 5
	tail := n - 1 - head
	return strings.TrimSpace(string(r[:head])) + "…" + strings.TrimSpace(string(r[len(r)-tail:]))
}
