package sheet

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// tokens gives the same elements and namespaces as the standard library's
// checked decoder, and an error for the same input.
func TestTokensAgreeWithTheCheckedOnes(t *testing.T) {
	for _, text := range []string{
		`<a/>`, `<a><b>x &amp; y</b><c d="1"/></a>`, `<?xml version="1.0" encoding="UTF-8"?><a>é</a>`,
		`<a xmlns="urn:1"><b xmlns:p="urn:2"><p:c/><d/></b><p:e/></a>`,
		`<p:a xmlns:p="urn:1"><p:b xmlns:p="urn:2"><p:c/></p:b><p:d/></p:a>`,
		`<a xmlns="urn:1"><b xmlns="urn:2"/><c/></a>`, `<a><![CDATA[<b>]]></a><!-- c -->`,
		`<a><b></a></b>`, `<a>`, `<a><b/>`, `</a>`, `<a></b>`, `<a>&</a>`, `<a b=1/>`, `<a>` + "\x01" + `</a>`, `<p:a xmlns:p="u"></a>`, ``,
		strings.Repeat("<a>", 90) + strings.Repeat("</a>", 90),
	} {
		mine, theirs := newTokens(iotest.OneByteReader(strings.NewReader(text))), xml.NewDecoder(strings.NewReader(text))
		for {
			want, wrong := theirs.Token()
			got, space, err := mine.next()
			if (err != nil) != (wrong != nil) || errors.Is(err, io.EOF) != errors.Is(wrong, io.EOF) {
				t.Errorf("%q: %v, want %v", text, err, wrong)
			}
			if err != nil || wrong != nil {
				break
			}
			switch want := want.(type) {
			case xml.StartElement:
				if got, ok := got.(xml.StartElement); !ok || got.Name.Local != want.Name.Local || space != want.Name.Space || len(got.Attr) != len(want.Attr) {
					t.Errorf("%q: %v in %q, want %v", text, got, space, want)
				}
			case xml.EndElement:
				if got, ok := got.(xml.EndElement); !ok || got.Name.Local != want.Name.Local || space != want.Name.Space {
					t.Errorf("%q: the end of %v in %q, want %v", text, got, space, want)
				}
			case xml.CharData:
				if got, ok := got.(xml.CharData); !ok || string(got) != string(want) {
					t.Errorf("%q: %v, want %q", text, got, want)
				}
			}
		}
	}
}

// The nesting depth of elements is limited.
func TestTokensAreNotTooDeep(t *testing.T) {
	tokens := newTokens(strings.NewReader(strings.Repeat("<a>", maxDepth+1)))
	for range maxDepth {
		if _, _, err := tokens.next(); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := tokens.next(); err == nil || !strings.Contains(err.Error(), "too deep") {
		t.Errorf("%v", err)
	}
}

// A reader that returns no data is abandoned, and an error is returned only
// after all data.
func TestByteReader(t *testing.T) {
	b := &byteReader{from: iotest.DataErrReader(strings.NewReader("ab"))}
	for _, want := range []byte("ab") {
		if c, err := b.ReadByte(); c != want || err != nil {
			t.Fatalf("%q, %v", c, err)
		}
	}
	if _, err := b.ReadByte(); !errors.Is(err, io.EOF) {
		t.Errorf("%v", err)
	}
	if _, err := (&byteReader{from: silent{}}).ReadByte(); !errors.Is(err, io.ErrNoProgress) {
		t.Errorf("%v", err)
	}
}

type silent struct{}

func (silent) Read([]byte) (int, error) { return 0, nil }
