package page

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

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
