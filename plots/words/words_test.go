package words

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
		if got := Clean(in); got != want {
			t.Errorf("clean(%q) = %q, want %q", in, got, want)
		}
	}
	if got := Name("", " "); got != "(no name)" {
		t.Errorf("an empty name is %q", got)
	}
}

func TestShortenKeepsBothEnds(t *testing.T) {
	long := "Skerrow " + strings.Repeat("x", 60) + " 4417-B"
	for n := 5; n < 70; n++ {
		got := Shorten(long, n)
		if utf8.RuneCountInString(got) > n || !strings.Contains(got, "…") {
			t.Fatalf("shorten to %d gave %q", n, got)
		}
		if n >= 20 && (!strings.HasPrefix(got, "Skerrow") || !strings.HasSuffix(got, "4417-B")) {
			t.Fatalf("shorten to %d lost an end: %q", n, got)
		}
	}
	if got := Shorten("short", 5); got != "short" {
		t.Errorf("shorten changed a text that fits: %q", got)
	}
}

func TestNumbersInWords(t *testing.T) {
	for got, want := range map[string]string{
		Number(1234):               "1234",
		Number(1234567):            "1 234 567",
		Number(-0.25):              "−0.25",
		Number(12345.5):            "12 345.5",
		Significant(0.010149, 2):   "0.01",
		Significant(123456, 2):     "120 000",
		Significant(0, 3):          "0",
		Signed(-0.0004, 3):         "0.000",
		Signed(-0.0106, 3):         "−0.011",
		Signed(2, 0):               "+2",
		Percent(1.624):             "+62\u00a0%",
		Percent(0.5):               "−50\u00a0%",
		Percent(1):                 "0\u00a0%",
		Percent(3.21):              "×3.2",
		Count(3):                   "three",
		Count(13):                  "13",
		Figures(1, "day", "days"):  "1 day",
		Quantity(2, "day", "days"): "two days",
		Years(2019, 2019):          "2019",
		Years(2019, 2026):          "2019 to 2026",
		Years(0, 2026):             "",
		WithUnit("2.5", "in"):      "2.5\u00a0in",
		WithUnit("2.5", "€"):       "€2.5",
		WithUnit("2.5", "GBP"):     "2.5\u00a0GBP",
		WithUnit("2", "£ per g"):   "£2 per g",
		Sentence("änder"):          "Änder",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
