package wording

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

var errPipe = errors.New("the pipe is closed")

// breaking fails after a number of writes and counts the later ones.
type breaking struct{ left, late int }

func (b *breaking) Write(p []byte) (int, error) {
	if b.left == 0 {
		b.late++
		return 0, errPipe
	}
	b.left--
	return len(p), nil
}

func TestTextKeepsItsFirstError(t *testing.T) {
	w := &breaking{left: 2}
	text := NewText(w, false)
	for range 10 {
		text.Para("one line")
	}
	if !errors.Is(text.Err(), errPipe) {
		t.Errorf("got error %v", text.Err())
	}
	if w.late != 1 {
		t.Errorf("%d writes after the first that failed", w.late-1)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		in    string
		width int
		want  []string
	}{
		{"", 10, nil},
		{"one two three", 9, []string{"one two", "three"}},
		{"0.41" + NBSP + "mm thick", 8, []string{"0.41 mm", "thick"}},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		{"a abcdefghij b", 4, []string{"a", "abcd", "efgh", "ij b"}},
		{"船舶 船", 4, []string{"船舶", "船"}}, // each is two columns wide
	} {
		if got := Wrap(c.in, c.width); !slices.Equal(got, c.want) {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.in, c.width, got, c.want)
		}
	}
}

func TestColourOnlyWhereAsked(t *testing.T) {
	for _, colour := range []bool{false, true} {
		var b bytes.Buffer
		NewText(&b, colour).Heading("Title")
		if got := strings.Contains(b.String(), "\x1b["); got != colour {
			t.Errorf("colour %v gives %q", colour, b.String())
		}
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Level("q", 0.00004), "q below 0.0001"},
		{Level("p", 0.0412), "p = 0.041"},
		{Counted(1, "part", "parts"), "1 part"},
		{Counted(12345, "part", "parts"), "12,345 parts"},
		{Lines([]int{7}), "line 7"},
		{Lines([]int{1, 2, 3, 4, 5, 6}), "lines 1, 2, 3, 4 and 2 more"},
		{Joined([]string{"a"}), "a"},
		{Joined([]string{"a", "b", "c"}), "a, b and c"},
		{Sentence("émail is thick"), "Émail is thick."},
		{Sentence("done."), "Done."},
		{Fixed(-0.0001, 2), "0.00"}, {Fixed(-0.012, 2), "-0.01"}, {Fixed(0, 1), "0.0"},
		{Spoken("2024-03-08"), "8 March 2024"},
		{Spoken("2024-03"), "March 2024"},
		{Spoken("2024"), "2024"},
		{Thousands(-1234567), "-1,234,567"},
		{Thousands(999), "999"},
	} {
		if Spaced(c.got) != c.want {
			t.Errorf("got %q, want %q", Spaced(c.got), c.want)
		}
	}
}

// Half widths keep one or two significant digits, so that a range never looks narrower
// than it is.
func TestDecimalsFor(t *testing.T) {
	for half, want := range map[float64]int{0.1: 2, 0.29: 2, 0.3: 1, 0.005: 3, 0.0026: 4, 12: 0, 400: 0, 1.5: 1, 3: 0, 0: 2} {
		if got := DecimalsFor(half); got != want {
			t.Errorf("half width %g: %d decimals, want %d", half, got, want)
		}
	}
	if DecimalsFor(math.NaN()) != 2 {
		t.Error("a missing half width has no default")
	}
}
