package plots

import (
	"strings"
	"unicode"
)

// maxName is the longest name drawn, in characters; longer ones keep their
// beginning and end, where maker and part number stand.
const maxName = 32

// name returns maker and part as one line of text fit for drawing.
func name(maker, part string) string {
	n := strings.TrimSpace(clean(maker) + " " + clean(part))
	if n == "" {
		return "(no name)"
	}
	return shorten(n, maxName)
}

// clean replaces what cannot be drawn as a character, or would change the
// direction of the text around it, by a visible mark. The log's text may hold
// anything.
func clean(s string) string {
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

// shorten cuts the middle out of a text longer than n characters.
func shorten(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	head := (n - 1) * 3 / 5
	tail := n - 1 - head
	return strings.TrimSpace(string(r[:head])) + "…" + strings.TrimSpace(string(r[len(r)-tail:]))
}

// wrap breaks s at its spaces (not at non-breaking ones) into lines of at
// most width, as measured. A word wider than that stays whole on a line of
// its own.
func wrap(s string, width float64, measure func(string) float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }) {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if line != "" && measure(joined) > width {
			lines = append(lines, line)
			joined = word
		}
		line = joined
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// balance wraps s into as few lines as wrap does but of similar lengths, so
// that a title does not leave one word on its second line.
func balance(s string, width float64, measure func(string) float64) []string {
	lines := wrap(s, width, measure)
	if len(lines) < 2 {
		return lines
	}
	low, high := width/float64(len(lines)), width
	for range 20 {
		mid := (low + high) / 2
		if len(wrap(s, mid, measure)) > len(lines) {
			low = mid
		} else {
			high = mid
		}
	}
	return wrap(s, high, measure)
}
