package page

import "strings"

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
