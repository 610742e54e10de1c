package plots

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"pleatstat/dataset"
)

// Units say how the log writes its values; dataset.Units is one.
type Units interface {
	Of(column string) dataset.Unit
	Format(column string, base float64) string
}

// measureWords are a measure's names in running text and on an axis; counted
// is what there are more or fewer of, where the measure is a count.
type measureWords struct{ noun, axis, counted string }

func wordsOf(column string) measureWords {
	c, known := dataset.LookUp(column)
	if !known {
		noun := shorten(strings.TrimSpace(strings.ReplaceAll(clean(column), "_", " ")), maxName)
		return measureWords{noun: noun, axis: noun}
	}
	return measureWords{noun: dataset.Spoken(column), axis: dataset.AxisName(column), counted: c.Many}
}

// axisTitle is the measure in words with the unit it is shown in.
func axisTitle(column string, u Units) string {
	w := wordsOf(column).axis
	if symbol := u.Of(column).Symbol; symbol != "" {
		return fmt.Sprintf("%s (%s)", w, clean(symbol))
	}
	return w
}

// perBase is what base values of column are multiplied by for display.
func perBase(column string, u Units) float64 {
	if k := u.Of(column).PerBase; k > 0 && !math.IsInf(k, 0) {
		return k
	}
	return 1
}

// minus is the typographic minus sign, as wide as the plus sign beside it.
const minus = "−"

// nbsp keeps a number and its unit on one line.
const nbsp = "\u00a0"

// signed writes v with its sign and the given number of decimals.
func signed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	switch {
	case strings.Trim(s, "0.") == "":
		return s
	case v < 0:
		return minus + s
	}
	return "+" + s
}

// plainNumber writes v without an exponent, without trailing zeros and with
// spaces between thousands from 10 000 up.
func plainNumber(v float64) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	whole, fraction, found := strings.Cut(s, ".")
	if len(whole) > 4 {
		var b strings.Builder
		for i, r := range whole {
			if i > 0 && (len(whole)-i)%3 == 0 {
				b.WriteByte(' ')
			}
			b.WriteRune(r)
		}
		whole = b.String()
	}
	if found {
		whole += "." + fraction
	}
	if v < 0 {
		return minus + whole
	}
	return whole
}

// significant rounds v to n significant digits and writes it plainly.
func significant(v float64, n int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return plainNumber(v)
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', n, 64), 64)
	if err != nil {
		return plainNumber(v)
	}
	return plainNumber(r)
}

// percent writes a ratio as a signed percentage, or as a factor from three
// times upwards, where percentages stop meaning much.
func percent(ratio float64) string {
	if ratio >= 3 {
		return "×" + significant(ratio, 2)
	}
	return signed(100*(ratio-1), 0) + nbsp + "%"
}

// count writes n in words up to twelve, in figures beyond.
func count(n int) string {
	switch words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven",
		"eight", "nine", "ten", "eleven", "twelve"}; {
	case n >= 0 && n < len(words):
		return words[n]
	}
	return plainNumber(float64(n))
}

// quantity is count with the right form of a noun: "one filter", "3 filters".
func quantity(n int, one, many string) string {
	if n == 1 {
		return count(n) + " " + one
	}
	return count(n) + " " + many
}

// figures is a number in figures with the right form of a noun.
func figures(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return plainNumber(float64(n)) + " " + many
}

// sentence gives s a capital first letter.
func sentence(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// years is a range of years in words; empty where nothing is known.
func years(from, to int) string {
	switch {
	case from == 0 || to == 0:
		return ""
	case from == to:
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d to %d", from, to)
}

// list joins up to three names; more are counted.
func list(names []string) string {
	const most = 3
	switch n := len(names); {
	case n == 1:
		return names[0]
	case n > most:
		return fmt.Sprintf("%s and %s more", strings.Join(names[:most-1], ", "), count(n-most+1))
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// joined puts the notes that there are side by side.
func joined(notes ...string) string {
	return strings.Join(slices.DeleteFunc(notes, func(s string) bool { return s == "" }), " · ")
}

// withUnit puts a currency's sign before the number, any other unit after it:
// "£2.40 per 100 g".
func withUnit(number, symbol string) string {
	if symbol == "" {
		return number
	}
	if r, size := utf8.DecodeRuneInString(symbol); unicode.Is(unicode.Sc, r) && (size == len(symbol) || symbol[size] == ' ') {
		return symbol[:size] + number + symbol[size:]
	}
	return number + nbsp + symbol
}
