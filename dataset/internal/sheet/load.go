// Package sheet converts a file to records: it reads within limits, detects the
// encoding, opens workbooks, and splits separated text with encoding/csv,
// keeping the line and the byte offset of every record.
package sheet

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
)

// Limits that protect the machine against a hostile or wrong file.
const (
	MaxFile    = 1 << 30 // bytes; some ten million openings
	MaxLine    = 1 << 20 // bytes in one line; a row of a log has hundreds
	MaxColumns = 2000    // a log has dozens
	chunk      = 1 << 18
)

// LimitError is returned for input larger than any log.
type LimitError struct {
	What  string // "file", "line", "columns", or the part of a workbook
	Line  int    // line on which the limit was exceeded, 0 = whole file
	Limit int
}

func (e *LimitError) Error() string {
	switch e.What {
	case "line":
		return fmt.Sprintf("line %d is longer than %d bytes; this is not a log of openings", e.Line, e.Limit)
	case "columns":
		return fmt.Sprintf("line %d has more than %d columns; this is not a log of openings", e.Line, e.Limit)
	}
	if e.What == "file" {
		return fmt.Sprintf("the file is larger than %d bytes; split the log", e.Limit)
	}
	return fmt.Sprintf("%s of the workbook unpacks to more than %d MB, far more than a log holds; name the sheet to read with --sheet, or allow more with --unpacked", e.What, e.Limit>>20)
}

// FormatError is returned for a file that is neither separated text nor a
// readable workbook.
type FormatError struct{ Reason string }

func (e *FormatError) Error() string { return e.Reason }

// load reads all of r, but stops at the first line that is too long. size is a
// hint.
func load(r io.Reader, size int64) ([]byte, error) {
	capacity := int64(chunk)
	if size > 0 && size <= MaxFile {
		capacity = size + 512 // room for the read that finds the end
	}
	data := make([]byte, 0, capacity)
	line, lineStart := 1, 0
	workbook := false
	for {
		if len(data) == cap(data) {
			grown := make([]byte, len(data), 2*cap(data))
			copy(grown, data)
			data = grown
		}
		free := data[len(data):min(cap(data), len(data)+chunk)]
		n, err := r.Read(free)
		read := data[len(data) : len(data)+n]
		data = data[:len(data)+n]
		if len(data) > MaxFile {
			return nil, &LimitError{What: "file", Limit: MaxFile}
		}
		workbook = workbook || isZip(data)
		if last := bytes.LastIndexAny(read, "\n\r"); last >= 0 {
			line += bytes.Count(read, []byte{'\n'})
			lineStart = len(data) - n + last + 1
		}
		if !workbook && len(data)-lineStart > MaxLine {
			if err := cmp.Or(binary(data), controls(data)); err != nil {
				return nil, err
			}
			return nil, &LimitError{What: "line", Line: line, Limit: MaxLine}
		}
		if errors.Is(err, io.EOF) {
			return data, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

func isZip(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// magics lists the first bytes of file types that users open by mistake.
var magics = []struct{ start, what string }{
	{"%PDF", "a PDF"},
	{"\x89PNG", "a picture"},
	{"\xff\xd8\xff", "a picture"},
	{"GIF8", "a picture"},
	{"\xd0\xcf\x11\xe0", "an old workbook (.xls); save it as .xlsx or CSV"},
	{"{\\rtf", "a rich text document; save the table as CSV"},
	{"\x1f\x8b", "a compressed file; unpack it first"},
	{"\x7fELF", "a program"},
	{"MZ\x90\x00", "a program"},
	{"<!DOCTYPE", "a web page; save the table as CSV"},
	{"<html", "a web page; save the table as CSV"},
}

// binary returns an error for data of a known type that is not text.
func binary(data []byte) error {
	for _, m := range magics {
		if bytes.HasPrefix(data, []byte(m.start)) {
			return &FormatError{Reason: "this is " + m.what + ", not a log"}
		}
	}
	return nil
}

// controls returns an error if a text has more control characters than an
// accident explains.
func controls(data []byte) error {
	head := data[:min(len(data), 1<<16)]
	n := 0
	for _, c := range head {
		if c < 0x20 && c != '\n' && c != '\r' && c != '\t' && c != '\f' && c != 0x1b {
			n++
		}
	}
	if n > 8 && n*50 > len(head) { // more than 2 %
		return &FormatError{Reason: "this is not text; a log is a CSV file or an .xlsx or .ods workbook"}
	}
	return nil
}
