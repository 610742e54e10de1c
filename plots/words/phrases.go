package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Count writes n in words up to twelve, in figures beyond.
func Count(n int) string {
	switch words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven",
		"eight", "nine", "ten", "eleven", "twelve"}; {
	case n >= 0 && n < len(words):
		return words[n]
	}
	return Number(float64(n))
}

// Quantity is count with the right form of a noun: "one filter", "3 filters".
func Quantity(n int, one, many string) string {
	if n == 1 {
		return Count(n) + " " + one
	}
	return Count(n) + " " + many
}

// Figures is a number in figures with the right form of a noun.
func Figures(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Number(float64(n)) + " " + many
}

// Sentence gives s a capital first letter.
func Sentence(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// Years is a range of years in words; empty where nothing is known.
func Years(from, to int) string {
	switch {
	case from == 0 || to == 0:
		return ""
	case from == to:
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d to %d", from, to)
}

// List joins up to three names; more are counted.
func List(names []string) string {
	const most = 3
	switch n := len(names); {
	case n == 1:
		return names[0]
	case n > most:
		return fmt.Sprintf("%s and %s more", strings.Join(names[:most-1], ", "), Count(n-most+1))
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// Joined puts the texts that there are side by side, with sep between them.
func Joined(sep string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), sep)
}
