package page

import "strings"

// wrap breaks s at its spaces, but not at non-breaking ones, into lines whose
// measure is at most width. A wider word gets a line of its own.
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

// balance wraps s into as many lines as wrap does but of similar lengths, so that
// the last line of a title is not a single word.
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
