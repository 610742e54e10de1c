package wording

import (
	"strings"
	"testing"

	"github.com/mattn/go-runewidth"
)

func TestNamesAreShortened(t *testing.T) {
	got := Name(strings.Repeat("m", 100), strings.Repeat("船", 100))
	if w := runewidth.StringWidth(got); w > 2*nameWidth+1 {
		t.Errorf("%q is %d columns wide", got, w)
	}
}

// A hidden character is escaped once, not twice.
func TestTextOfACellIsEscapedOnce(t *testing.T) {
	for s, want := range map[string]string{"6\ufffd1": `"6\ufffd1"`, "a\nb": `"a\nb"`, "0.41": `"0.41"`} {
		if got := Quoted(s); got != want {
			t.Errorf("%q is told as %s, not %s", s, got, want)
		}
	}
}
