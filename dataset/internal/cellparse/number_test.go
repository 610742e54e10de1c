package cellparse

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestParseNumber(t *testing.T) {
	for _, c := range []struct {
		text     string
		mark     Mark
		value    float64
		unit     string
		decimals int
		approx   bool
		evidence Evidence
	}{
		{"41", Point, 41, "", 0, false, Silent},
		{"41.375", Point, 41.375, "", 3, false, DependsPoint},
		{"41.375", Comma, 41375, "", 0, false, DependsPoint},
		{"1.5", Comma, 1.5, "", 1, false, ShowsPoint},
		{"0,48", Point, 0.48, "", 2, false, ShowsComma},
		{"0,48", Comma, 0.48, "", 2, false, ShowsComma},
		{"0.410", Undecided, 0.41, "", 3, false, ShowsPoint},
		{"0,410", Undecided, 0.41, "", 3, false, ShowsComma},
		{".48", Point, 0.48, "", 2, false, ShowsPoint},
		{"1,234", Point, 1234, "", 0, false, DependsComma},
		{"1,234", Comma, 1.234, "", 3, false, DependsComma},
		{"1,234.5", Undecided, 1234.5, "", 1, false, ShowsPoint},
		{"1.234,5", Undecided, 1234.5, "", 1, false, ShowsComma},
		{"1,234,567", Undecided, 1234567, "", 0, false, ShowsPoint},
		{"1.234.567", Undecided, 1234567, "", 0, false, ShowsComma},
		{"1\u202f234,5", Undecided, 1234.5, "", 1, false, ShowsComma},
		{"1\u00a0234", Undecided, 1234, "", 0, false, Silent},
		{"1'234.5", Undecided, 1234.5, "", 1, false, ShowsPoint},
		{"1 234,50", Undecided, 1234.5, "", 2, false, ShowsComma},
		{"41 3/8", Point, 41.375, "", -1, false, Silent},
		{"41-3/8", Point, 41.375, "", -1, false, Silent},
		{"41⅜", Point, 41.375, "", -1, false, Silent},
		{"41 ⅜", Point, 41.375, "", -1, false, Silent},
		{"⅜", Point, 0.375, "", -1, false, Silent},
		{"3/8", Point, 0.375, "", -1, false, Silent},
		{"41 3⁄8", Point, 41.375, "", -1, false, Silent},
		{"-1 1/2", Point, -1.5, "", -1, false, Silent},
		{`41 3/8"`, Point, 41.375, `"`, -1, false, Silent},
		{"41 3/8 in", Point, 41.375, "in", -1, false, Silent},
		{"41.4 in", Point, 41.4, "in", 1, false, ShowsPoint},
		{"41.4in.", Point, 41.4, "in.", 1, false, ShowsPoint},
		{"41''", Point, 41, "''", 0, false, Silent},
		{"55.1 in²", Point, 55.1, "in²", 1, false, ShowsPoint},
		{"55.1 in2", Point, 55.1, "in2", 1, false, ShowsPoint},
		{"0.4 mm", Point, 0.4, "mm", 1, false, ShowsPoint},
		{"~0.5", Point, 0.5, "", 1, true, ShowsPoint},
		{"≈ 0.5 mm", Point, 0.5, "mm", 1, true, ShowsPoint},
		{"about $8", Point, 8, "$", 0, true, Silent},
		{"ca. 8", Point, 8, "", 0, true, Silent},
		{"$8.99", Point, 8.99, "$", 2, false, ShowsPoint},
		{"8,99 €", Comma, 8.99, "€", 2, false, ShowsComma},
		{"EUR 8.99", Point, 8.99, "EUR", 2, false, ShowsPoint},
		{"8.99 USD", Point, 8.99, "USD", 2, false, ShowsPoint},
		{"US$ 8.99", Point, 8.99, "US$", 2, false, ShowsPoint},
		{"£1,234.50", Point, 1234.5, "£", 2, false, ShowsPoint},
		{"1.5e2", Point, 150, "", 1, false, ShowsPoint},
		{"1,5E+02", Comma, 150, "", 1, false, ShowsComma},
		{"-0.3", Point, -0.3, "", 1, false, ShowsPoint},
		{"−0.3", Point, -0.3, "", 1, false, ShowsPoint},
		{"+5", Point, 5, "", 0, false, Silent},
		{"  51 pleats ", Point, 51, "pleats", 0, false, Silent},
		{"99 %", Point, 99, "%", 0, false, Silent},
		{"99%", Point, 99, "%", 0, false, Silent},
		{"5E", Point, 5, "E", 0, false, Silent},
		{"\u200b7.6", Point, 7.6, "", 1, false, ShowsPoint},
	} {
		n, err := ParseNumber(c.text, c.mark)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if want := (Number{c.value, c.unit, c.decimals, c.approx, 0, c.evidence}); n != want {
			t.Errorf("%q with mark %d: %+v, want %+v", c.text, c.mark, n, want)
		}
	}
}

func TestNotANumber(t *testing.T) {
	for text, says := range map[string]string{
		"":                       "empty",
		"oops":                   "not a number",
		"1O.5":                   "perhaps 10.5",
		"l2":                     "perhaps 12",
		"1.234":                  "", // only if the file's mark is undecided; see below
		"#DIV/0!":                "spreadsheet",
		"=A1+B1":                 "formula",
		"0.48 ± 0.01":            "",
		"0.47-0.49":              "range",
		"0.47 0.48":              "two numbers",
		"41 375":                 "two numbers",
		"3/8/2024":               "date",
		"41 9/8":                 "fraction",
		"41/0":                   "fraction",
		"1/1000":                 "fraction",
		"12,34,567":              "odd places",
		"1.2.3":                  "odd places",
		"51.":                    "decimal mark",
		"1e999":                  "not a number",
		"9999999999999999":       "larger",
		"NaN":                    "not a number",
		"Inf":                    "not a number",
		"0x10":                   "",
		"$5 EUR mm":              "two units",
		"--5":                    "",
		"8.99/each":              "",
		"1\u0660":                "", // digits of other scripts are refused
		"5 in 3":                 "",
		strings.Repeat("9", 400): "",
	} {
		mark := Point
		if text == "1.234" {
			mark = Undecided
			says = "nothing in the file tells"
		}
		n, err := ParseNumber(text, mark)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%q is read as %+v (error %v)", text, n, err)
			continue
		}
		if !strings.Contains(e.Reason, says) {
			t.Errorf("%q: %q does not say %q", text, e.Reason, says)
		}
	}
}

func TestParseReadings(t *testing.T) {
	for _, c := range []struct {
		text string
		want []float64
		unit string
	}{
		{"0.47; 0.48; 0.48", []float64{0.47, 0.48, 0.48}, ""},
		{"0.47;0.48;0.48 mm", []float64{0.47, 0.48, 0.48}, "mm"},
		{"0,47; 0,48", []float64{0.47, 0.48}, ""},
		{"0.47\n0.48", []float64{0.47, 0.48}, ""},
		{"0.47;", []float64{0.47}, ""},
		{"0.47", []float64{0.47}, ""},
		{"41.375; 41.5", []float64{41.375, 41.5}, ""},
		{"41,375; 41,5", []float64{41.375, 41.5}, ""},
		{"1,234; 1,234.5", []float64{1234, 1234.5}, ""},
		{"41 3/8; 41 1/2 in", []float64{41.375, 41.5}, "in"},
	} {
		got, err := ParseReadings(nil, c.text, Point)
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%q: %v, %v", c.text, got, err)
			continue
		}
		for i := range got {
			if got[i].Value != c.want[i] || got[i].Unit != c.unit {
				t.Errorf("%q, reading %d: %+v", c.text, i, got[i])
			}
		}
	}
	for _, text := range []string{";", "0.47; x", "1.515; 1.512", strings.Repeat("1;", MaxReadings+1), "; ;"} {
		if got, err := ParseReadings(nil, text, Point); err == nil {
			t.Errorf("%.20q is read as %d readings", text, len(got))
		}
	}
}

func TestBlank(t *testing.T) {
	for _, s := range []string{"", " ", "-", "–", "?", "n/a", "N/A", "#N/A", "nan", "unknown", "\u00a0", "…", "\ufeff"} {
		if !IsBlank(s) {
			t.Errorf("%q is not blank", s)
		}
	}
	for _, s := range []string{"0", "none", "x", "0.0", "-1"} {
		if IsBlank(s) {
			t.Errorf("%q is blank", s)
		}
	}
}

// TestPlainAgrees compares Quick with the general parser and its rounding by
// strconv: digits over a power of ten are rounded once.
func TestPlainAgrees(t *testing.T) {
	for i := range 200_000 {
		v := float64(i) / 1000
		for _, text := range []string{trimmed(i, 3), trimmed(i, 2), trimmed(i, 1), trimmed(i, 5)} {
			var quick, slow Number
			ok := Quick(text, Point, &quick)
			err := slow.readBody(text, Point)
			if ok && (err != nil || quick != slow) {
				t.Fatalf("%q: %+v, %+v, %v (%v)", text, quick, slow, err, v)
			}
		}
	}
}

// The readings of one cell are parsed as they would be alone, with or without
// spaces around them.
func TestReadingsAgreeWithSingleNumbers(t *testing.T) {
	pieces := []string{"0.50", " 7 ", "$8.99", " 41 3/8", "~0.5", "1.234", "3,5", " 1'200 "}
	for _, mark := range []Mark{Point, Comma} {
		for _, a := range pieces {
			for _, b := range pieces {
				got, err := readings(nil, a+";"+b+"\n;", mark)
				one, errA := ParseNumber(a, mark)
				two, errB := ParseNumber(b, mark)
				if (err == nil) != (errA == nil && errB == nil) {
					t.Fatalf("%q and %q: %v, alone %v, %v", a, b, err, errA, errB)
				}
				if err != nil {
					continue
				}
				if one.Unit == "" {
					one.Unit = two.Unit // a unit after the last applies to all
				}
				if len(got) != 2 || got[0] != one || got[1] != two {
					t.Fatalf("%q and %q: %+v, alone %+v, %+v", a, b, got, one, two)
				}
			}
		}
	}
}

func trimmed(i, decimals int) string {
	s := []byte("00000000")
	n := len(s)
	for j := n - 1; j >= 0 && i > 0; j-- {
		s[j] = byte('0' + i%10)
		i /= 10
	}
	whole := strings.TrimLeft(string(s[:n-decimals]), "0")
	if whole == "" {
		whole = "0"
	}
	return whole + "." + string(s[n-decimals:])
}

func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"41 3/8", "41-3/8\"", "41⅜", "~0.5 mm", "$1,234.50", "8,99 €", "0.47; 0.48; 0.48", "1.234", "1e5", "1\u202f234,5", "-1 1/2", "#N/A", "±", "⅜⅜", "'", "/", "1/", "-", "e5", "US$ 5 in2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, mark := range []Mark{Point, Comma, Undecided} {
			read, err := ParseReadings(nil, text, mark)
			if err != nil {
				var e *Error
				if !errors.As(err, &e) || e.Reason == "" {
					t.Fatalf("%q: untyped error %v", text, err)
				}
				continue
			}
			if len(read) == 0 || len(read) > MaxReadings {
				t.Fatalf("%q: %d readings", text, len(read))
			}
			for _, n := range read {
				if math.IsNaN(n.Value) || math.Abs(n.Value) > MaxAbs || n.Decimals < -1 {
					t.Fatalf("%q: %+v", text, n)
				}
			}
		}
	})
}
