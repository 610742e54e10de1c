// Package correct writes a copy of a log in which entry errors are corrected.
//
// It applies the suggestions of package check to the text itself: cells are found by
// line and field, and every other byte stays as it is. It copies CSV in UTF-8 or a
// one-byte encoding, but not workbooks.
package correct

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"pleatstat/stats/check"
	"pleatstat/stats/slip"
)

// FormatError is returned by Copy for a log it cannot copy cell by cell.
type FormatError struct{ Reason string }

func (e *FormatError) Error() string { return e.Reason }

// Copy copies the text of a log from r to w, applying the sure suggestions of the
// given kinds (no kinds = all), and returns those it applied, in order of line and
// column. Every byte outside the changed cells stays as it is. A suggestion is not
// applied if its cell does not hold the text in Found.
//
// Errors: *FormatError for workbooks and for text in UTF-16, and the errors of r and
// w.
func Copy(r io.Reader, w io.Writer, suggestions []check.Suggestion, kinds []slip.Kind) ([]check.Suggestion, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	if bytes.HasPrefix(data, []byte("PK")) {
		return nil, &FormatError{"a workbook cannot be copied cell by cell; save the log as CSV first"}
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return nil, &FormatError{"only text in UTF-8 or a one-byte encoding can be copied cell by cell; save the log as CSV in UTF-8 first"}
	}
	var wanted []check.Suggestion
	for _, s := range suggestions {
		if s.Sure && (len(kinds) == 0 || slices.Contains(kinds, s.Kind)) {
			wanted = append(wanted, s)
		}
	}
	edits := find(data, wanted)
	changed := make([]check.Suggestion, 0, len(edits))
	from := 0
	for _, e := range edits {
		if e.from < from {
			continue // a second suggestion for the same cell
		}
		if _, err := w.Write(data[from:e.from]); err != nil {
			return nil, err
		}
		if _, err := io.WriteString(w, e.text); err != nil {
			return nil, err
		}
		from = e.to
		changed = append(changed, e.of)
	}
	if _, err := w.Write(data[from:]); err != nil {
		return nil, err
	}
	return changed, nil
}

// edit replaces data[from:to] by text.
type edit struct {
	from, to int
	text     string
	of       check.Suggestion
}

// find locates the cells of the suggestions, with the separator under which most of
// them hold the text found.
func find(data []byte, wanted []check.Suggestion) []edit {
	text := slices.Clone(data)
	for i, c := range text { // a lone CR also ends a line
		if c == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			text[i] = '\n'
		}
	}
	var best []edit
	for _, comma := range []rune{',', ';', '\t', '|'} {
		if found := findAt(text, comma, wanted); len(found) > len(best) {
			best = found
		}
	}
	slices.SortStableFunc(best, func(a, b edit) int { return cmp.Compare(a.from, b.from) })
	return best
}

type place struct{ line, column int }

func findAt(text []byte, comma rune, wanted []check.Suggestion) []edit {
	left := map[place]check.Suggestion{}
	for _, s := range wanted {
		if _, twice := left[place{s.Line, s.Column}]; !twice {
			left[place{s.Line, s.Column}] = s
		}
	}
	starts := lineStarts(text)
	found := walk(text, 0, 1, comma, starts, left)
	// An unclosed quotation mark hides the lines below it, so cells not found are
	// sought in their lines alone.
	for _, s := range wanted {
		if _, still := left[place{s.Line, s.Column}]; still && s.Line >= 1 && s.Line < len(starts) {
			found = append(found, walk(text[:starts[s.Line]], starts[s.Line-1], s.Line, comma, starts, left)...)
		}
	}
	return found
}

// lineStarts returns the offset of the start of each line, and the end of the text.
func lineStarts(text []byte) []int {
	starts := []int{0}
	for i, c := range text {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	if starts[len(starts)-1] < len(text) {
		starts = append(starts, len(text))
	}
	return starts
}

// walk reads the records of text from offset from, the start of the given line,
// returns the edits of the cells in left that it finds, and removes these from left.
func walk(text []byte, from, line int, comma rune, starts []int, left map[place]check.Suggestion) []edit {
	var out []edit
	mark := 0
	if from == 0 && bytes.HasPrefix(text, []byte("\xef\xbb\xbf")) {
		mark = 3
	}
	records := csv.NewReader(bytes.NewReader(text[from+mark:]))
	records.Comma, records.FieldsPerRecord, records.LazyQuotes, records.ReuseRecord = comma, -1, true, true
	for len(left) > 0 {
		fields, err := records.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			continue // skip a record that cannot be read
		}
		for i, field := range fields {
			at, column := records.FieldPos(i)
			p := place{line + at - 1, i + 1}
			s, ok := left[p]
			if !ok || s.Found != field {
				continue
			}
			begin := starts[p.line-1] + column - 1
			if at == 1 {
				begin += mark
			}
			if e, ok := replace(text, begin, comma, s); ok {
				out = append(out, e)
				delete(left, p)
			}
		}
	}
	return out
}

// replace returns the edit of the cell that starts at offset begin; false if the cell
// cannot be edited.
func replace(text []byte, begin int, comma rune, s check.Suggestion) (edit, bool) {
	quoted := `"` + strings.ReplaceAll(s.Found, `"`, `""`) + `"`
	rest := text[begin:]
	intended := s.Intended
	if !utf8.Valid(text) && !isASCII(intended) {
		return edit{}, false // intended cannot be written in the encoding of the log
	}
	length := len(s.Found)
	if bytes.HasPrefix(rest, []byte(quoted)) {
		length = len(quoted)
		intended = `"` + strings.ReplaceAll(intended, `"`, `""`) + `"`
	} else if !bytes.HasPrefix(rest, []byte(s.Found)) {
		return edit{}, false
	} else if strings.ContainsAny(intended, fmt.Sprintf("%c\"\r\n", comma)) {
		intended = `"` + strings.ReplaceAll(intended, `"`, `""`) + `"`
	}
	return edit{from: begin, to: begin + length, text: intended, of: s}, true
}

func isASCII(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return r >= utf8.RuneSelf })
}
