package sheet

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
)

// tokens reads the XML tokens of a part. xml.Decoder.Token copies each element
// to resolve its names, which takes a sixth of the time for a large sheet. So
// tokens uses RawToken and itself checks that every element is closed by its
// own end tag, and resolves prefixes to namespaces (Namespaces in XML 1.0,
// sections 5 and 6).
type tokens struct {
	d      *xml.Decoder
	open   []xml.Name // names with their prefixes
	spaces []binding  // innermost last
}

// binding is the namespace of a prefix within the element at a depth.
type binding struct {
	prefix, space string
	depth         int
}

func newTokens(r io.Reader) *tokens { return &tokens{d: xml.NewDecoder(&byteReader{from: r})} }

// next returns a token and, for an element, the namespace of its name. At the
// end it returns io.EOF, or io.ErrUnexpectedEOF if an element is still open.
func (t *tokens) next() (token xml.Token, space string, err error) {
	if token, err = t.d.RawToken(); err != nil {
		if errors.Is(err, io.EOF) && len(t.open) > 0 {
			err = io.ErrUnexpectedEOF
		}
		return nil, "", err
	}
	switch e := token.(type) {
	case xml.StartElement:
		if len(t.open) >= maxDepth {
			return nil, "", errors.New("its elements stand too deep in each other")
		}
		t.open = append(t.open, e.Name)
		for _, a := range e.Attr {
			switch {
			case a.Name.Space == "xmlns":
				t.spaces = append(t.spaces, binding{a.Name.Local, a.Value, len(t.open)})
			case a.Name.Space == "" && a.Name.Local == "xmlns":
				t.spaces = append(t.spaces, binding{"", a.Value, len(t.open)})
			}
		}
		space = t.space(e.Name.Space)
	case xml.EndElement:
		n := len(t.open)
		if n == 0 || t.open[n-1] != e.Name {
			return nil, "", t.mismatch(e.Name)
		}
		space = t.space(e.Name.Space)
		t.open = t.open[:n-1]
		for k := len(t.spaces); k > 0 && t.spaces[k-1].depth == n; k-- {
			t.spaces = t.spaces[:k-1]
		}
	}
	return token, space, nil
}

// space returns the namespace of a prefix, or the prefix itself if it is not
// declared.
func (t *tokens) space(prefix string) string {
	for k := len(t.spaces) - 1; k >= 0; k-- {
		if t.spaces[k].prefix == prefix {
			return t.spaces[k].space
		}
	}
	return prefix
}

func (t *tokens) mismatch(name xml.Name) error {
	line, _ := t.d.InputPos()
	if len(t.open) == 0 {
		return &xml.SyntaxError{Msg: fmt.Sprintf("unexpected end element </%s>", name.Local), Line: line}
	}
	return &xml.SyntaxError{Msg: fmt.Sprintf("element <%s> closed by </%s>", t.open[len(t.open)-1].Local, name.Local), Line: line}
}

// byteReader is a buffered reader whose ReadByte is faster than that of
// bufio.Reader.
type byteReader struct {
	from   io.Reader
	buffer [1 << 16]byte
	at, to int
	err    error
}

// ReadByte returns the next byte.
func (b *byteReader) ReadByte() (byte, error) {
	if b.at == b.to && !b.fill() {
		return 0, b.err
	}
	c := b.buffer[b.at]
	b.at++
	return c, nil
}

// fill refills the buffer and returns false at the end.
func (b *byteReader) fill() bool {
	const tries = 100
	for range tries {
		if b.err != nil {
			return false
		}
		b.at = 0
		if b.to, b.err = b.from.Read(b.buffer[:]); b.to > 0 {
			return true
		}
	}
	b.err = io.ErrNoProgress
	return false
}

// Read makes byteReader an io.Reader, as xml.NewDecoder requires; the decoder
// itself calls ReadByte.
func (b *byteReader) Read(p []byte) (int, error) {
	if b.at == b.to && !b.fill() {
		return 0, b.err
	}
	n := copy(p, b.buffer[b.at:b.to])
	b.at += n
	return n, nil
}
