package sheet

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"time"
)

// numberFormat is what a cell's number format says about the meaning of its
// number.
type numberFormat struct {
	percent, date bool
	currency      string
}

// readStyles reads the number format of each cell style.
func (x *xlsx) readStyles() error {
	custom := map[int]string{}
	inCells := false
	return x.archive.walk(x.styles, "its styles", nil, func(t xml.Token) error {
		switch e := t.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "numFmt":
				if id, err := strconv.Atoi(attr(e, "numFmtId")); err == nil {
					custom[id] = attr(e, "formatCode")
				}
			case "cellXfs":
				inCells = true
			case "xf":
				if inCells {
					id, _ := strconv.Atoi(attr(e, "numFmtId"))
					f := builtIn(id)
					if code, ok := custom[id]; ok {
						f = parseFormat(code)
					}
					x.formats = append(x.formats, f)
				}
			}
		case xml.EndElement:
			if e.Name.Local == "cellXfs" {
				inCells = false
			}
		}
		return nil
	})
}

// builtIn returns a number format that workbooks refer to by number only
// (ECMA-376, part 1, section 18.8.30).
func builtIn(id int) numberFormat {
	switch {
	case id == 9 || id == 10:
		return numberFormat{percent: true}
	case id >= 5 && id <= 8 || id == 42 || id == 44:
		return numberFormat{currency: "$"}
	case id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 58:
		return numberFormat{date: true}
	}
	return numberFormat{}
}

// parseFormat parses the first section of a format code such as
// [$€-407]#,##0.00 or yyyy-mm-dd, which applies to positive numbers.
func parseFormat(code string) numberFormat {
	var f numberFormat
	var literal strings.Builder // adjacent quoted, escaped and bare characters
	var letters strings.Builder
	flush := func() {
		if sign := currencySign(literal.String()); sign != "" {
			f.currency = sign
		}
		literal.Reset()
	}
	for i := 0; i < len(code) && code[i] != ';'; i++ {
		switch c := code[i]; c {
		case '"':
			end := strings.IndexByte(code[i+1:], '"')
			if end < 0 {
				return f
			}
			literal.WriteString(code[i+1 : i+1+end])
			i += end + 1
		case '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				return f
			}
			if inside := code[i+1 : i+end]; strings.HasPrefix(inside, "$") {
				sign, _, _ := strings.Cut(inside[1:], "-")
				flush()
				literal.WriteString(sign)
				flush()
			}
			i += end
		case '\\':
			if i+1 < len(code) {
				i++
				literal.WriteByte(code[i])
			}
		case '_', '*':
			i++ // a gap as wide as the next character, or filled with it
		case '%':
			f.percent = true
		case '0', '#', '?', '.', ',', '/', ' ', '-', '(', ')', ':':
			flush()
		default:
			if c < 0x80 && (c|0x20) >= 'a' && (c|0x20) <= 'z' {
				letters.WriteByte(c | 0x20)
			} else {
				literal.WriteByte(c)
			}
		}
	}
	flush()
	if word := letters.String(); !f.percent && f.currency == "" && word != "general" {
		f.date = strings.ContainsAny(word, "yd") // a time of day is not a date
	}
	return f
}

// serialDay formats the serial number of a day as a date, without the time of
// day. Workbooks count from 1899-12-30, as spreadsheet programs do from March
// 1900 on, or from 1904-01-01. It is false for numbers outside 61 to 2958465,
// counted from 1899-12-30 the days 1900-03-01 to 9999-12-31.
func serialDay(v float64, from1904 bool) (string, bool) {
	if math.IsNaN(v) || v < 61 || v >= 2958466 { // 1900-03-01 to 9999-12-31
		return "", false
	}
	origin := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if from1904 {
		origin = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	return origin.AddDate(0, 0, int(v)).Format(time.DateOnly), true
}

// write formats a stored number with the sign that its display has, and a date
// as such.
func (f numberFormat) write(stored string, from1904 bool) string {
	if f == (numberFormat{}) && short(stored) {
		return stored
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(stored), 64)
	if err != nil {
		return stored
	}
	switch {
	case f.date:
		if s, ok := serialDay(v, from1904); ok {
			return s
		}
	case f.percent:
		return strconv.FormatFloat(math.Round(v*1e12)/1e10, 'g', -1, 64) + "%"
	case f.currency != "":
		return f.currency + tidy(v)
	}
	return tidy(v)
}

// short reports whether a stored number has few characters and needs no
// rounding.
func short(s string) bool {
	if len(s) > 12 {
		return false
	}
	for i := range len(s) {
		if (s[i] < '0' || s[i] > '9') && s[i] != '.' && (s[i] != '-' || i > 0) {
			return false
		}
	}
	return true
}

// tidy formats a stored number without binary rounding noise: spreadsheets keep
// 15 decimal digits but store 17.
func tidy(v float64) string {
	s := strconv.FormatFloat(v, 'g', 15, 64)
	if r, err := strconv.ParseFloat(s, 64); err == nil {
		return strconv.FormatFloat(r, 'f', -1, 64)
	}
	return s
}
