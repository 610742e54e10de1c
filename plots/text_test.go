package plots

import (
	"strings"
	"testing"
	"unicode/utf8"
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
