package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"
)

// Record is one record of a log. Fields is only valid until the next call.
type Record struct {
	Fields []string
	Line   int    // line of the file on which it starts
	Offset int    // its byte offset in Text.Data, for Text.Reparse
	Broken string // why the line cannot be read; Fields then holds the whole line
	Within int    // lines inside its cells that look like records

	repaired bool // parsed leniently, from one line
}

// Records iterates over the records of a text.
//
// A quotation mark that is never closed costs its line, not the rest of the
// file: the record is dropped and reading resumes at the next line. The number
// of bytes read again in this way is limited.
type Records struct {
	text     *Text
	comma    rune
	width    int // fields of a complete record, 0 = unknown
	csv      *csv.Reader
	base     int // offset of the csv reader's first byte
	baseLine int // lines before that byte
	reread   int // bytes read again
}

// Records returns a reader of the records from a byte offset on, which must be
// the start of the given line.
func (t *Text) Records(comma rune, offset, line int) *Records {
	r := &Records{text: t, comma: comma}
	r.restart(offset, line)
	return r
}

// Expect sets the number of fields of the header. A record over several lines
// with fewer fields is then known to come from an unclosed quotation mark.
func (r *Records) Expect(width int) { r.width = width }

// Offset returns the byte offset at which the next record is looked for.
func (r *Records) Offset() int { return r.base + int(r.csv.InputOffset()) }

func (r *Records) restart(offset, line int) {
	r.base, r.baseLine = offset, line-1
	r.csv = newCSV(r.text.Data[offset:], r.comma)
	r.csv.ReuseRecord = true
}

func newCSV(data []byte, comma rune) *csv.Reader {
	c := csv.NewReader(bytes.NewReader(data))
	c.Comma = comma
	c.FieldsPerRecord = -1
	return c
}

// Next returns the next record. It returns io.EOF at the end, *LimitError for a
// record with too many columns and *FormatError for too many unclosed quotation
// marks.
func (r *Records) Next() (Record, error) {
	start := r.Offset()
	fields, err := r.csv.Read()
	if err != nil {
		return r.failed(start, err)
	}
	first, _ := r.csv.FieldPos(0)
	line := r.baseLine + first
	if len(fields) > MaxColumns {
		return Record{}, &LimitError{What: "columns", Line: r.text.SourceLine(line), Limit: MaxColumns}
	}
	within := 0
	if r.width > 0 && !r.text.Workbook {
		if last, _ := r.csv.FieldPos(len(fields) - 1); last > first || spans(fields[len(fields)-1]) {
			if len(fields) < r.width {
				return r.giveUp(start, line)
			}
			within = r.within(fields)
		}
	}
	return Record{Fields: fields, Line: r.text.SourceLine(line), Offset: start, Within: within}, nil
}

// within counts the lines inside cells that have as many separators as a
// record; a misplaced quotation mark may have swallowed them.
func (r *Records) within(fields []string) int {
	n := 0
	for _, f := range fields {
		lines := strings.Split(f, "\n")
		for _, line := range lines[1:] {
			if strings.Count(line, string(r.comma))+1 >= max(r.width, 2) {
				n++
			}
		}
	}
	return n
}

// failed handles an error of encoding/csv.
func (r *Records) failed(start int, err error) (Record, error) {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return r.repair(start, parse)
	}
	return Record{}, err // io.EOF; reading from memory has no other errors
}

func spans(field string) bool { return strings.IndexByte(field, '\n') >= 0 }

// repair parses a line with quotation marks that stand for inches, 41 3/8", or
// inside a field; encoding/csv accepts those only with LazyQuotes. A line
// appended below it shows whether a mark is left open.
func (r *Records) repair(start int, parse *csv.ParseError) (Record, error) {
	line := r.baseLine + parse.StartLine
	begin, end := r.lineAt(start)
	if r.Offset() <= end {
		alone := bytes.TrimRight(r.text.Data[begin:end], "\r\n")
		c := newCSV(append(alone[:len(alone):len(alone)], "\nbelow"...), r.comma)
		c.LazyQuotes = true
		fields, err := c.Read()
		// If a field starts with a mark, a wrong number of fields means that
		// the mark has swallowed separators.
		sure := len(fields) == r.width || r.width == 0 || !bytes.Contains(alone, []byte(string(r.comma)+`"`))
		if err == nil && sure && !spans(fields[len(fields)-1]) && len(fields) <= MaxColumns {
			return Record{Fields: fields, Line: r.text.SourceLine(line), Offset: start, repaired: true}, nil
		}
	}
	return r.giveUp(start, line)
}

// giveUp returns the line at byte start as broken and resumes after it.
func (r *Records) giveUp(start, line int) (Record, error) {
	begin, end := r.lineAt(start)
	r.reread += r.Offset() - end
	if r.reread > 4*len(r.text.Data)+MaxLine {
		return Record{}, &FormatError{Reason: "too many quotation marks are left open; this is not a log that can be read"}
	}
	text := string(bytes.TrimRight(r.text.Data[begin:end], "\r\n"))
	r.restart(end, line+1)
	return Record{
		Fields: []string{text}, Line: r.text.SourceLine(line), Offset: start,
		Broken: "a quotation mark is opened and not closed; close it, or double it where it stands for inches",
	}, nil
}

// lineAt returns the first line from byte start on that is not blank.
func (r *Records) lineAt(start int) (begin, end int) {
	data := r.text.Data
	for begin = start; begin < len(data) && (data[begin] == '\n' || data[begin] == '\r'); begin++ {
	}
	if i := bytes.IndexByte(data[begin:], '\n'); i >= 0 {
		return begin, begin + i + 1
	}
	return begin, len(data)
}

// Reparse parses one record again. below is the line of each field, counted from
// the line on which the record starts. width is the number of fields of the
// header.
func (t *Text) Reparse(comma rune, offset, width int) (fields []string, below []int) {
	r := t.Records(comma, offset, 1)
	r.Expect(width)
	rec, err := r.Next()
	if err != nil || rec.Broken != "" {
		return nil, nil
	}
	below = make([]int, len(rec.Fields))
	if rec.repaired {
		return rec.Fields, below
	}
	first, _ := r.csv.FieldPos(0)
	for i := range below {
		line, _ := r.csv.FieldPos(i)
		below[i] = line - first
	}
	return rec.Fields, below
}
