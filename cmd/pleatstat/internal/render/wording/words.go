package wording

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"pleatstat/dataset/catalogue"
)

// Counts reports whether a column counts things, whose name is a plural.
func Counts(column string) bool {
	return catalogue.Facts(column).Kind == catalogue.KindCount
}

// More returns "more", "less" or, of things that are counted, "fewer".
func More(column string, up bool) string {
	switch {
	case up:
		return "more"
	case Counts(column):
		return "fewer"
	}
	return "less"
}

// Owned returns a value with the name of its column: "a can gauge of 0.41 mm",
// "68 pleats".
func Owned(column, value string) string {
	if Counts(column) {
		return value + NBSP + catalogue.Words(column)
	}
	return "a " + catalogue.Words(column) + " of " + value
}

// Counted returns a number with the right form of its noun: "1 part", "58 parts".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1" + NBSP + one
	}
	return Thousands(n) + NBSP + many
}

// Thousands writes 12345 as "12,345".
func Thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// Lines names lines of the log, the first few of them.
func Lines(numbers []int) string {
	const most = 4 // a listener remembers no more; the JSON has all
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return Line(numbers[0])
	}
	text := "lines " + strings.Join(Numerals(numbers[:min(len(numbers), most)]), ", ")
	if more := len(numbers) - most; more > 0 {
		text += " and " + strconv.Itoa(more) + " more"
	}
	return text
}

// Line names a line of the log: "line 41".
func Line(number int) string { return "line" + NBSP + strconv.Itoa(number) }

// Numerals returns whole numbers in digits.
func Numerals(numbers []int) []string {
	out := make([]string, len(numbers))
	for i, n := range numbers {
		out[i] = strconv.Itoa(n)
	}
	return out
}

// ColumnNames returns the words for some columns.
func ColumnNames(columns []string) []string {
	out := make([]string, len(columns))
	for i, c := range columns {
		out[i] = catalogue.Words(c)
	}
	return out
}

// Joined lists words: "a, b and c".
func Joined(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Sentence gives s a capital first letter and a full stop.
func Sentence(s string) string { return UpperFirst(Ended(s)) }

// UpperFirst gives s a capital first letter.
func UpperFirst(s string) string { return firstLetter(s, unicode.ToUpper) }

// LowerFirst gives s a small first letter.
func LowerFirst(s string) string { return firstLetter(s, unicode.ToLower) }

func firstLetter(s string, to func(rune) rune) string {
	if s == "" {
		return ""
	}
	r, size := utf8.DecodeRuneInString(s)
	return string(to(r)) + s[size:]
}

// Ended gives s a full stop.
func Ended(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// Month returns a date to the month: "May 2022".
func Month(t time.Time) string { return t.Format("January") + NBSP + t.Format("2006") }

// Spoken returns an ISO date of any precision in words: "8 March 2024".
func Spoken(iso string) string {
	for _, f := range []struct{ layout, written string }{
		{"2006-01-02", "2" + NBSP + "January" + NBSP + "2006"}, {"2006-01", "January" + NBSP + "2006"},
	} {
		if t, err := time.Parse(f.layout, iso); err == nil {
			return t.Format(f.written)
		}
	}
	return iso
}

// Listed calls f for the first most entries and writes how many more there are, and
// where.
func Listed[T any](t *Text, all []T, most int, where string, f func(T)) {
	for _, v := range all[:min(len(all), most)] {
		f(v)
	}
	if more := len(all) - most; more > 0 {
		t.Item(fmt.Sprintf("and %s more in %s.", Thousands(more), where))
	}
}

// Cut keeps the first most words and adds the number of the others.
func Cut(words []string, most int) []string {
	if len(words) <= most {
		return words
	}
	return append(slices.Clone(words[:most]), fmt.Sprintf("%d more", len(words)-most))
}

// Spelt returns a number as it is written in a sentence: in words up to ten.
func Spelt(n int) string {
	words := [...]string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n >= 0 && n < len(words) {
		return words[n]
	}
	return Thousands(n)
}

// Plural returns the form of a word that goes with n.
func Plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// FewListed is how many names are listed of what has too little data.
const FewListed = 6

// MaxListed is the number of entries that a section of the text lists: a listener
// follows no more, and the JSON has them all.
const MaxListed = 12

// MaxLooks is the same for mere hints, many of which are due to chance.
const MaxLooks = 6

// MaxNamed is how many parts or makers a line of the short form names.
const MaxNamed = 4

// SpokenMonth returns an ISO date in words, no finer than the month.
func SpokenMonth(iso string) string {
	const month = len("2006-01")
	return Spoken(iso[:min(month, len(iso))])
}

// ExpectedByChance returns the number out of n sound points that are expected to fall
// outside their range, if a share of them does; at least 1.
func ExpectedByChance(n int, share float64) string {
	return Fixed(math.Max(1, math.Round(share*float64(n))), 0)
}
