package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"pleatstat/dataset"
)

// quantity is a value of a column as it is said: "55.1 in²", "$8.99". It stays
// on one line.
func quantity(u dataset.Units, column string, base float64) string {
	return unbroken(u.Format(column, base))
}

// signless is the size of a difference in a column's unit, with enough decimals
// for a range whose half width is given (base units).
func signless(u dataset.Units, column string, base, half float64) string {
	decimals := u.Of(column).Decimals
	if half != 0 {
		decimals = decimalsFor(half * u.Of(column).PerBase)
	}
	return precise(u, column, math.Abs(base), decimals)
}

// counts says whether a column is a number of things, named in the plural.
func counts(column string) bool {
	c, _ := dataset.LookUp(column)
	return c.Kind == dataset.KindCount
}

// more is "more", "less" or, of things that are counted, "fewer".
func more(column string, up bool) string {
	switch {
	case up:
		return "more"
	case counts(column):
		return "fewer"
	}
	return "less"
}

// owned is a value of a part with its name: "a can gauge of 0.41 mm",
// "68 pleats".
func owned(column, value string) string {
	if counts(column) {
		return value + nbsp + dataset.Words(column)
	}
	return "a " + dataset.Words(column) + " of " + value
}

// precise is a value of a column with a given number of decimals; money keeps
// its own.
func precise(u dataset.Units, column string, base float64, decimals int) string {
	c, _ := dataset.LookUp(column)
	if c.Kind == dataset.KindMoney {
		return quantity(u, column, base)
	}
	unit := u.Of(column)
	return unbroken(strings.TrimSpace(fixed(base*unit.PerBase, decimals) + " " + unit.Symbol))
}

// unbroken keeps s on one line; spaced lets it be broken again.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", nbsp) }
func spaced(s string) string   { return strings.ReplaceAll(s, nbsp, " ") }

// decimalsFor is the number of decimals that shows a half width with one
// significant digit, or two where it starts with 1 or 2.
func decimalsFor(half float64) int {
	half = math.Abs(half)
	if !(half > 0) || math.IsInf(half, 0) {
		return 2
	}
	power := math.Floor(math.Log10(half))
	decimals := -int(power)
	if half < 2.95*math.Pow(10, power) { // shown as 1 or 2
		decimals++
	}
	return min(max(decimals, 0), 9)
}

// fixed is v with a number of decimals; what rounds to zero has no sign.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// times says a factor with its range: "1.82 times (95 % range 1.70 to 1.95".
func times(ratio, low, high float64) (r, l, h string) {
	d := decimalsFor((high - low) / 2)
	return fixed(ratio, d), fixed(low, d), fixed(high, d)
}

// percent is a share in whole per cent.
func percent(share float64) string {
	return fixed(100*share, 0) + nbsp + "%"
}

// level is a p or q value: "0.003", "below 0.0001".
func level(name string, p float64) string {
	switch {
	case math.IsNaN(p):
		return name + nbsp + "unknown"
	case p < 0.0001:
		return name + " below" + nbsp + "0.0001"
	}
	return name + nbsp + "=" + nbsp + strconv.FormatFloat(p, 'g', 2, 64)
}

// shortLevel is a p or q value for a table.
func shortLevel(p float64) string {
	switch {
	case math.IsNaN(p):
		return "–"
	case p < 0.0001:
		return "<0.0001"
	}
	return strconv.FormatFloat(p, 'f', 4, 64)
}

// counted is a number with the right form of its noun: "1 part", "58 parts".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1" + nbsp + one
	}
	return thousands(n) + nbsp + many
}

// thousands writes 12345 as "12,345".
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// lines names the lines of the log behind something, the first few of them.
func lines(numbers []int) string {
	const most = 4 // a listener keeps no more in mind; the JSON has all
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return line(numbers[0])
	}
	text := "lines " + strings.Join(numerals(numbers[:min(len(numbers), most)]), ", ")
	if more := len(numbers) - most; more > 0 {
		text += " and " + strconv.Itoa(more) + " more"
	}
	return text
}

// line names a line of the log: "line 41".
func line(number int) string { return "line" + nbsp + strconv.Itoa(number) }

// numerals are whole numbers in digits.
func numerals(numbers []int) []string {
	out := make([]string, len(numbers))
	for i, n := range numbers {
		out[i] = strconv.Itoa(n)
	}
	return out
}

// columnNames are the words of some columns.
func columnNames(columns []string) []string {
	out := make([]string, len(columns))
	for i, c := range columns {
		out[i] = dataset.Words(c)
	}
	return out
}

// joined lists words: "a, b and c".
func joined(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// sentence gives s a capital first letter and a full stop.
func sentence(s string) string { return capital(ended(s)) }

// capital gives s a capital first letter, small a small one.
func capital(s string) string { return firstLetter(s, unicode.ToUpper) }
func small(s string) string   { return firstLetter(s, unicode.ToLower) }

func firstLetter(s string, to func(rune) rune) string {
	if s == "" {
		return ""
	}
	r, size := utf8.DecodeRuneInString(s)
	return string(to(r)) + s[size:]
}

// ended gives s a full stop.
func ended(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// month is a date as it is said when only about so much is known: "May 2022".
func month(t time.Time) string { return t.Format("January") + nbsp + t.Format("2006") }

// spoken is an ISO date of any precision as it is said.
func spoken(iso string) string {
	for _, f := range []struct{ layout, said string }{
		{"2006-01-02", "2" + nbsp + "January" + nbsp + "2006"}, {"2006-01", "January" + nbsp + "2006"},
	} {
		if t, err := time.Parse(f.layout, iso); err == nil {
			return t.Format(f.said)
		}
	}
	return iso
}

// range95 puts a range in words.
func range95(low, high string) string { return "95" + nbsp + "% range " + low + " to " + high }

// listed calls f for the first most entries and says how many more there are.
func listed[T any](t *Text, all []T, most int, where string, f func(T)) {
	for _, v := range all[:min(len(all), most)] {
		f(v)
	}
	if more := len(all) - most; more > 0 {
		t.Item(fmt.Sprintf("and %s more in %s.", thousands(more), where))
	}
}

// minus writes the sign of a negative number as a minus sign.
func minus(s string) string { return strings.Replace(s, "-", "−", 1) }
