package slip

import (
	"math"
	"strconv"
	"strings"

	"pleatstat/dataset/catalogue"
)

// Number finds the only number of a cell: its place in the text. ok is false
// for several readings, fractions and thousands separators.
func Number(text string) (from, to int, ok bool) {
	isDigit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	from = strings.IndexFunc(text, func(r rune) bool { return r >= '0' && r <= '9' })
	if from < 0 {
		return 0, 0, false
	}
	to = from
	points := 0
	for isDigit(to) || to < len(text) && (text[to] == '.' || text[to] == ',') && isDigit(to+1) {
		if !isDigit(to) {
			points++
		}
		to++
	}
	if from > 0 && text[from-1] == '.' {
		return 0, 0, false // ".47": rare, and not worth a wrong guess
	}
	rest := text[to:]
	if points > 1 || strings.ContainsAny(rest, "0123456789/;¼½¾⅛⅜⅝⅞") {
		return 0, 0, false
	}
	return from, to, true
}

// Value reads a number that Number found.
func Value(text string) (float64, error) {
	return strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
}

// Turn exchanges the digit at k with the next one, over a point between them.
func Turn(text string, k int) string {
	b := []byte(text)
	next := k + 1
	if b[next] == '.' || b[next] == ',' {
		next++
	}
	if b[k] == '.' || b[k] == ',' || next >= len(b) {
		return text
	}
	b[k], b[next] = b[next], b[k]
	return string(b)
}

// tidy drops the zeros behind the point that nobody writes: all of a count's,
// those behind the second of a price.
func tidy(text string, kind catalogue.Kind) string {
	at := strings.LastIndexAny(text, ".,")
	if at < 0 {
		return text
	}
	switch kind {
	case catalogue.KindCount:
		return strings.TrimRight(strings.TrimRight(text, "0"), ".,")
	case catalogue.KindMoney:
		for len(text) > at+3 && strings.HasSuffix(text, "0") {
			text = text[:len(text)-1]
		}
	}
	return text
}

// shift moves the decimal point of a written number, keeping its digits.
func shift(text string, places int) string {
	point := "."
	if strings.Contains(text, ",") {
		point = ","
	}
	whole, part, _ := strings.Cut(text, point)
	all := whole + part
	at := len(whole) + places
	for at < 1 {
		all, at = "0"+all, at+1
	}
	for at > len(all) {
		all += "0"
	}
	head := strings.TrimLeft(all[:at], "0")
	if head == "" {
		head = "0"
	}
	if at == len(all) {
		return head
	}
	return head + point + all[at:]
}

// Plain writes a number with so many significant digits and no exponent.
func Plain(v float64, significant int) string {
	decimals := max(0, significant-1-int(math.Floor(math.Log10(math.Abs(v)))))
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
