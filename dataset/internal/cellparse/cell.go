package cellparse

import "strings"

// IsBlank reports whether a cell is blank or holds a text for "not measured".
func IsBlank(text string) bool {
	if text == "" {
		return true
	}
	if c := text[0]; c > ' ' && c < 0x7f && !strings.ContainsRune("-?.#nNuUtTmM", rune(c)) {
		return false // nearly every cell ends here
	}
	if len(text) > 1 && text[0] > ' ' && text[0] < 0x7f && text[1] > ' ' && text[1] < 0x7f {
		const small = 'a' - 'A'
		switch string([]byte{text[0] | small, text[1] | small}) { // the first two characters of the texts below
		case "--", "??", "..", "n/", "n.", "na", "#n", "nu", "ni", "tb", "un", "no", "mi":
		default:
			return false // an ordinary word
		}
	}
	s := strings.ToLower(clean(text))
	switch s {
	case "", "-", "--", "---", "?", "??", "???", ".", "…", "...", "n/a", "n.a.", "na", "n.a", "#n/a", "nan", "null", "nil", "tbd", "unknown", "not measured", "missing":
		return true
	}
	return false
}

// MaxReadings is the greatest number of readings in one cell.
const MaxReadings = 100

// ParseReadings parses a cell with one number or with several readings of the
// same quantity, separated by semicolons, line breaks, slashes, or commas
// followed by a space. It appends to dst. A unit after the last reading applies
// to all that have none.
//
// A spreadsheet treats several readings as text and exports their decimal marks
// as typed, whatever mark the rest of the file has. So a reading such as 1,234
// is decided by the other readings of its cell only.
func ParseReadings(dst []Number, text string, mark Mark) ([]Number, error) {
	var n Number
	if Quick(text, mark, &n) {
		return append(dst, n), nil
	}
	several := strings.ContainsAny(text, ";\n")
	if !several && maybeSideBySide(text) {
		if list, ok := sideBySide(clean(text), mark); ok {
			text, several = list, true
		}
	}
	if !several {
		n, err := ParseNumber(text, mark)
		return append(dst, n), err
	}
	first := len(dst)
	own := Undecided
	for _, m := range []Mark{Point, Comma} { // parse with both; a reading may show which is right
		read, err := readings(dst, text, m)
		if err != nil {
			return read, err
		}
		shows := Silent
		depends := false
		for _, n := range read[first:] {
			depends = depends || n.Evidence >= DependsPoint
			if n.Evidence == ShowsPoint || n.Evidence == ShowsComma {
				shows = n.Evidence
			}
		}
		if !depends {
			return read, nil
		}
		if m == Point && shows == ShowsPoint || m == Comma && shows == ShowsComma {
			own = m
		}
	}
	return readings(dst, text, own)
}

func readings(dst []Number, text string, mark Mark) ([]Number, error) {
	first := len(dst)
	for text != "" {
		piece := text
		if end := strings.IndexAny(text, ";\n"); end >= 0 {
			piece, text = text[:end], text[end+1:]
		} else {
			text = ""
		}
		piece = strings.Trim(piece, " ")
		var n Number
		ok := Quick(piece, mark, &n)
		if !ok && clean(piece) == "" {
			continue
		}
		if len(dst)-first == MaxReadings {
			return dst, fail("has more than 100 readings")
		}
		var err error
		if !ok {
			n, err = ParseNumber(piece, mark)
		}
		dst = append(dst, n)
		if err != nil {
			return dst, err
		}
	}
	if len(dst) == first {
		return dst, fail("has no number")
	}
	unit := dst[len(dst)-1].Unit
	for i := first; i < len(dst); i++ {
		if dst[i].Unit == "" {
			dst[i].Unit = unit
		}
	}
	return dst, nil
}

// IsCurrency reports whether a text is a currency sign or code.
func IsCurrency(s string) bool { return Currency(s) != "" }

// signs maps signs, codes and names to a currency. A bare $ stands for
// whichever dollar the log uses.
var signs = map[string]string{
	"$": "$", "€": "€", "£": "£", "¥": "¥", "US$": "$", "USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥",
	"A$": "AUD", "C$": "CAD", "CA$": "CAD", "AU$": "AUD", "NZ$": "NZD", "R$": "BRL", "ZŁ": "PLN", "₹": "INR", "₽": "RUB", "₺": "TRY", "₩": "KRW", "KČ": "CZK", "KR": "kr", "FR.": "CHF", "SFR": "CHF", "EURO": "€", "EUROS": "€", "DOLLARS": "$", "DOLLAR": "$",
	"AUD": "AUD", "CAD": "CAD", "NZD": "NZD", "BRL": "BRL", "PLN": "PLN", "INR": "INR", "RUB": "RUB", "TRY": "TRY", "KRW": "KRW", "CZK": "CZK", "CHF": "CHF", "SEK": "SEK", "NOK": "NOK", "DKK": "DKK", "HUF": "HUF", "RON": "RON", "ZAR": "ZAR", "MXN": "MXN", "CNY": "CNY", "HKD": "HKD", "SGD": "SGD", "THB": "THB", "IDR": "IDR", "MYR": "MYR", "PHP": "PHP", "ILS": "ILS", "UAH": "UAH", "BGN": "BGN", "ISK": "ISK",
}

// Currency returns a currency sign, name or ISO 4217 code in one form: the sign
// for dollar, euro, pound and yen, kr for a krone or krona without a country,
// the code for others; "" for any other text.
func Currency(s string) string {
	s = strings.TrimSpace(s)
	if c, ok := signs[s]; ok {
		return c
	}
	return signs[strings.ToUpper(s)]
}
