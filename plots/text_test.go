package plots

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"gonum.org/v1/plot"
)

func TestCleanShowsWhatCannotBeDrawn(t *testing.T) {
	for in, want := range map[string]string{
		"Skerrow":                 "Skerrow",
		"  two\twords\n":          "two words",
		"\x1b[31mred\x1b[0m":      "¿[31mred¿[0m",
		"a\x00b\u202ec\u200bd":    "a¿b¿c¿d",
		"bad \xff byte":           "bad ¿ byte",
		"Größe 漢字":                "Größe 漢字",
		"narrow\u202fspace\u2028": "narrow space¿",
	} {
		if got := clean(in); got != want {
			t.Errorf("clean(%q) = %q, want %q", in, got, want)
		}
	}
	if got := name("", " "); got != "(no name)" {
		t.Errorf("an empty name is %q", got)
	}
}

func TestShortenKeepsBothEnds(t *testing.T) {
	long := "Skerrow " + strings.Repeat("x", 60) + " 4417-B"
	for n := 5; n < 70; n++ {
		got := shorten(long, n)
		if utf8.RuneCountInString(got) > n || !strings.Contains(got, "…") {
			t.Fatalf("shorten to %d gave %q", n, got)
		}
		if n >= 20 && (!strings.HasPrefix(got, "Skerrow") || !strings.HasSuffix(got, "4417-B")) {
			t.Fatalf("shorten to %d lost an end: %q", n, got)
		}
	}
	if got := shorten("short", 5); got != "short" {
		t.Errorf("shorten changed a text that fits: %q", got)
	}
}

func TestWrapAndBalance(t *testing.T) {
	measure := func(s string) float64 { return float64(utf8.RuneCountInString(s)) }
	text := "a title of some ten words that goes over two lines"
	if got, want := wrap(text, 30, measure), []string{"a title of some ten words that", "goes over two lines"}; !reflect.DeepEqual(got, want) {
		t.Errorf("wrap gave %q, want %q", got, want)
	}
	for width := 12.0; width < 60; width++ {
		plain, even := wrap(text, width, measure), balance(text, width, measure)
		if len(plain) != len(even) || strings.Join(plain, " ") != text || strings.Join(even, " ") != text {
			t.Errorf("width %v: %q and %q", width, plain, even)
		}
		for _, l := range even {
			if measure(l) > width {
				t.Errorf("width %v: line %q is too long", width, l)
			}
		}
	}
	if got := wrap("95\u00a0% of", 4, measure); !reflect.DeepEqual(got, []string{"95\u00a0%", "of"}) {
		t.Errorf("a number was parted from its unit: %q", got)
	}
}

func TestNumbersInWords(t *testing.T) {
	for got, want := range map[string]string{
		plainNumber(1234):          "1234",
		plainNumber(1234567):       "1 234 567",
		plainNumber(-0.25):         "−0.25",
		plainNumber(12345.5):       "12 345.5",
		significant(0.010149, 2):   "0.01",
		significant(123456, 2):     "120 000",
		significant(0, 3):          "0",
		signed(-0.0004, 3):         "0.000",
		signed(-0.0106, 3):         "−0.011",
		signed(2, 0):               "+2",
		percent(1.624):             "+62\u00a0%",
		percent(0.5):               "−50\u00a0%",
		percent(1):                 "0\u00a0%",
		percent(3.21):              "×3.2",
		count(3):                   "three",
		count(13):                  "13",
		figures(1, "day", "days"):  "1 day",
		quantity(2, "day", "days"): "two days",
		years(2019, 2019):          "2019",
		years(2019, 2026):          "2019 to 2026",
		years(0, 2026):             "",
		withUnit("2.5", "in"):      "2.5\u00a0in",
		withUnit("2.5", "€"):       "€2.5",
		withUnit("2.5", "GBP"):     "2.5\u00a0GBP",
		withUnit("2", "£ per g"):   "£2 per g",
		sentence("änder"):          "Änder",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func labels(ticks []plot.Tick) string {
	var s []string
	for _, t := range ticks {
		s = append(s, t.Label)
	}
	return strings.Join(s, " ")
}

func TestTicksStandAtRoundNumbers(t *testing.T) {
	for got, want := range map[string]string{
		labels(linearTicks(0, 10, 1, 6)):              "0 2 4 6 8 10",
		labels(linearTicks(-0.06, 0.06, 1, 4)):        "−0.05 0.00 0.05",
		labels(linearTicks(25.4, 76.2, 1/25.4, 5)):    "1.0 1.5 2.0 2.5 3.0",
		labels(linearTicks(0, 30000, 1, 3)):           "0 10 000 20 000 30 000",
		labels(logTicks(1, 1000, 1, 12)):              "1 2 5 10 20 50 100 200 500 1000",
		labels(logTicks(2, 30, 1, 10)):                "2 5 10 20",
		labels(logTicks(2.9, 22, 1, 10)):              "3 5 7 10 20",
		labels(logTicks(1e-3, 1e9, 1, 5)):             "0.001 1 1000 1 000 000 1 000 000 000",
		labels(logTicks(64.516, 645.16, 1/6.4516, 8)): "10 20 50 100",
		labels(linearTicks(5, 5, 1, 4)):               "",
		labels(logTicks(0, 5, 1, 4)):                  "",
		labels(linearTicks(math.NaN(), 1, 1, 4)):      "",
	} {
		if got != want {
			t.Errorf("ticks %q, want %q", got, want)
		}
	}
}
