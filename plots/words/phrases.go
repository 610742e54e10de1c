package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Count writes n in words from zero ("no") to twelve, in figures otherwise.
func Count(n int) string {
	switch words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven",
		"eight", "nine", "ten", "eleven", "twelve"}; {
	case n >= 0 && n < len(words):
		return words[n]
	}
	return Number(float64(n))
}

// Quantity returns n as Count writes it and the singular or plural of a noun: "one
// filter", "three filters".
func Quantity(n int, one, many string) string {
	if n == 1 {
		return Count(n) + " " + one
	}
	return Count(n) + " " + many
}

// Figures returns n in figures and the singular or plural of a noun.
func Figures(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Number(float64(n)) + " " + many
}

// Sentence returns s with its first letter in upper case.
func Sentence(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// Years returns "2019 to 2026", or "2019" if the years are equal; "" if either is 0.
func Years(from, to int) string {
	switch {
	case from == 0 || to == 0:
		return ""
	case from == to:
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d to %d", from, to)
}

// List joins up to three names; of more than three it gives two and counts the
// others. There must be at least one name.
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

// Joined joins the texts that are not empty, with sep between them.
func Joined(sep string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), sep)
}
