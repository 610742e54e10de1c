package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

func TestEncodings(t *testing.T) {
	const want = "maker;Größe ⅜\nSkerrow;µm\n"
	plain := strings.ReplaceAll(want, "⅜", "½")
	encode := func(data []byte, err error) []byte {
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"UTF-8":                      {[]byte(want), want},
		"UTF-8 with byte order mark": {[]byte("\ufeff" + want), want},
		"UTF-16 little-endian":       {encode(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(want))), want},
		"UTF-16 big-endian":          {encode(unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(want))), want},
		"Windows-1252":               {encode(charmap.Windows1252.NewEncoder().Bytes([]byte(plain))), plain},
	} {
		text, err := openText(bytes.NewReader(c.data))
		if err != nil || string(text.Data) != c.want || text.Encoding != name {
			t.Errorf("%s: %v, %+v", name, err, text)
		}
	}
	for _, order := range []unicode.Endianness{unicode.LittleEndian, unicode.BigEndian} {
		data := encode(unicode.UTF16(order, unicode.IgnoreBOM).NewEncoder().Bytes([]byte(want)))
		if text, err := openText(bytes.NewReader(data)); err != nil || string(text.Data) != want {
			t.Errorf("UTF-16 without byte order mark: %v", err)
		}
	}
	// One broken byte does not make a UTF-8 file Windows-1252.
	if text, err := openText(strings.NewReader("ä;ö;\xff\n")); err != nil || text.Encoding != "UTF-8" {
		t.Errorf("%v, %+v", err, text)
	}
	if text, err := openText(strings.NewReader("a,b\rc,d\r")); err != nil || string(text.Data) != "a,b\nc,d\n" {
		t.Errorf("CR alone: %v", err)
	}
}

func TestNoText(t *testing.T) {
	for name, data := range map[string]string{
		"PDF":        "%PDF-1.4\n%\xe2\xe3",
		"picture":    "\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR",
		".xls":       "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
		"damaged":    "PK\x03\x04garbage",
		"not text":   strings.Repeat("\x00\x01\x02\x03\n", 100),
		"web page":   "<!DOCTYPE html><html>",
		"compressed": "\x1f\x8b\x08\x00",
	} {
		var e *FormatError
		if _, err := openText(strings.NewReader(data)); !errors.As(err, &e) || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// endless is a reader of unlimited length that counts the bytes read.
type endless struct {
	pattern string
	n       int
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.pattern[e.n%len(e.pattern)]
		e.n++
	}
	return len(p), nil
}

// TestEndlessLine: reading a line without end stops within a few megabytes.
func TestEndlessLine(t *testing.T) {
	for _, pattern := range []string{"x", "maker,", `"`, "\x00"} {
		r := &endless{pattern: pattern}
		var limit *LimitError
		var format *FormatError
		_, err := openText(r)
		if !errors.As(err, &limit) && !errors.As(err, &format) {
			t.Errorf("%q: %v", pattern, err)
		}
		if r.n > 3*MaxLine {
			t.Errorf("%q: %d bytes were read", pattern, r.n)
		}
	}
	long := "maker,part\n" + strings.Repeat("x", MaxLine+chunk)
	var limit *LimitError
	if _, err := openText(strings.NewReader(long)); !errors.As(err, &limit) || limit.Line != 2 {
		t.Errorf("%v", err)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

func TestReadError(t *testing.T) {
	if _, err := openText(broken{}); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("%v", err)
	}
}

func all(t *testing.T, text string, comma rune, width int) (out []string) {
	t.Helper()
	r := (&Text{Data: []byte(text)}).Records(comma, 0, 1)
	r.Expect(width)
	for {
		rec, err := r.Next()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		mark := ""
		if rec.Broken != "" {
			mark = "!"
		}
		out = append(out, fmt.Sprintf("%d%s %s", rec.Line, mark, strings.Join(rec.Fields, "|")))
	}
}

func TestRecords(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"plain", "a,b\nc,d\n", []string{"1 a|b", "2 c|d"}},
		{"line break in quotes", "a,\"b\nB\"\nc,d\n", []string{"1 a|b\nB", "3 c|d"}},
		{"blank lines", "a,b\n\n\nc,d", []string{"1 a|b", "4 c|d"}},
		{"inch sign", "a,41 3/8\"\nc,d\n", []string{`1 a|41 3/8"`, "2 c|d"}},
		{"inch sign in quotes", "a,\"41 3/8\"\"\"\nc,d\n", []string{`1 a|41 3/8"`, "2 c|d"}},
		{"quotation mark left open", "a,\"b\nc,d\ne,f\n", []string{`1! a,"b`, "2 c|d", "3 e|f"}},
		{"left open at the end", "a,b\nc,\"d", []string{"1 a|b", `2! c,"d`}},
		{"left open, closed by another", "a,\"b\nc,d\ne,\"f\"\n", []string{`1! a,"b`, "2 c|d", "3 e|f"}},
		{"closed too early", "a,\"b\" x\nc,d\n", []string{`1! a,"b" x`, "2 c|d"}},
		{"swallows fields", "a,\"b\nc\",d\ne,f\n", []string{"1 a|b\nc|d", "3 e|f"}},
		{"CRLF", "a,b\r\nc,d\r\n", []string{"1 a|b", "2 c|d"}},
	} {
		if got := all(t, c.text, ',', 2); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestManyOpenQuotes: many lines with an unclosed quotation mark take time in
// proportion to their number, or give an error.
func TestManyOpenQuotes(t *testing.T) {
	text := "a,b\n" + strings.Repeat("x,\"y z,w\n", 200_000)
	r := (&Text{Data: []byte(text)}).Records(',', 0, 1)
	r.Expect(2)
	n := 0
	for {
		_, err := r.Next()
		if err != nil {
			var e *FormatError
			if !errors.Is(err, io.EOF) && !errors.As(err, &e) {
				t.Fatal(err)
			}
			break
		}
		n++
	}
	if n < 5 {
		t.Errorf("%d records", n)
	}
}

func TestColumnsLimit(t *testing.T) {
	r := (&Text{Data: []byte(strings.Repeat("x,", 100_000))}).Records(',', 0, 1)
	var e *LimitError
	if _, err := r.Next(); !errors.As(err, &e) || e.What != "columns" {
		t.Errorf("%v", err)
	}
}

func TestAgain(t *testing.T) {
	text := &Text{Data: []byte("h,i\na,b\n\nc,\"d\ne\"\nx,41 3/8\"\n")}
	r := text.Records(',', 0, 1)
	r.Expect(2)
	for {
		rec, err := r.Next()
		if err != nil {
			break
		}
		want := slices.Clone(rec.Fields)
		got, below := text.Reparse(',', rec.Offset, 2)
		if !slices.Equal(got, want) || below[0] != 0 || below[1] != 0 {
			t.Errorf("line %d: %q, %v, want %q", rec.Line, got, below, want)
		}
	}
}

// openText opens a file of one text.
func openText(r io.Reader) (*Text, error) {
	f, err := Open(r, 0, Options{})
	if err != nil {
		return nil, err
	}
	return f.Texts[0], nil
}
