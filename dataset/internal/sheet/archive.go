package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"pleatstat/dataset/internal/cellparse"
)

// DefaultUnpacked is the size in bytes to which one part of a workbook may
// unpack: some 400,000 openings on one sheet.
const DefaultUnpacked = 200 << 20

// maxDepth is the greatest nesting depth of elements; sheets have about a dozen
// levels.
const maxDepth = 100

// archive holds the parts of a workbook.
type archive struct {
	parts map[string]*zip.File
	limit int64
}

func openArchive(data []byte, limit int64) (*archive, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged("the file", 0, err)
	}
	if limit <= 0 {
		limit = DefaultUnpacked
	}
	a := &archive{parts: map[string]*zip.File{}, limit: limit}
	for _, f := range z.File {
		a.parts[strings.TrimPrefix(strings.ReplaceAll(f.Name, `\`, "/"), "/")] = f
	}
	return a, nil
}

// damaged returns the error for a part of a workbook that cannot be read
// completely.
func damaged(what string, row int, err error) error {
	at := what
	if row > 0 {
		at = fmt.Sprintf("%s, at or below row %d", what, row)
	}
	var syntax *xml.SyntaxError
	reason := err.Error()
	switch {
	case errors.Is(err, zip.ErrChecksum):
		reason = "its checksum does not agree"
	case errors.Is(err, io.ErrUnexpectedEOF):
		reason = "it ends too early"
	case errors.As(err, &syntax):
		reason = syntax.Msg
	}
	return &FormatError{Reason: fmt.Sprintf("the workbook is damaged in %s (%s), so that rows could be missing; open it in the spreadsheet program, look it through and save it again", at, reason)}
}

// walk calls visit for the tokens of a part in order. The part must be
// well-formed XML with a correct checksum. what names the part in messages; row
// is the row reached so far.
func (a *archive) walk(part, what string, row *int, visit func(xml.Token) error) error {
	return a.walkSpaces(part, what, row, func(t xml.Token, _ string) error { return visit(t) })
}

// walkSpaces is like walk, but also passes the namespace of each element; the
// one in the element's name is the prefix as written.
func (a *archive) walkSpaces(part, what string, row *int, visit func(t xml.Token, space string) error) error {
	f := a.parts[part]
	if f == nil {
		return damaged(what, 0, errors.New("it is missing"))
	}
	if f.UncompressedSize64 > uint64(a.limit) {
		return a.tooLarge(what)
	}
	packed, err := f.Open()
	if err != nil {
		return damaged(what, 0, err)
	}
	defer packed.Close()
	unpacked := &counter{r: packed}
	d := newTokens(unpacked)
	fail := func(err error) error {
		at := 0
		if row != nil {
			at = *row
		}
		return damaged(what, at, err)
	}
	for {
		token, space, err := d.next()
		if unpacked.n > a.limit {
			return a.tooLarge(what)
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fail(err)
		}
		if _, defines := token.(xml.Directive); defines {
			return fail(errors.New("it defines a document type, which no spreadsheet program writes"))
		}
		if err := visit(token, space); err != nil {
			return err
		}
	}
	if unpacked.n == 0 {
		return fail(io.ErrUnexpectedEOF)
	}
	return nil
}

func (a *archive) tooLarge(what string) error {
	return &LimitError{What: what, Limit: int(a.limit)}
}

// counter counts the bytes read. The checksum is verified at io.EOF.
type counter struct {
	r io.Reader
	n int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	c.n += int64(n)
	return n, err
}

func attribute(e xml.StartElement, name string) (string, bool) {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

func attr(e xml.StartElement, name string) string {
	v, _ := attribute(e, name)
	return v
}

// currencySign returns a trimmed text if it is a currency sign or code, else
// "".
func currencySign(s string) string {
	if s = strings.TrimSpace(s); cellparse.IsCurrency(s) {
		return s
	}
	return ""
}
