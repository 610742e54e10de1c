package sheet

import (
	"bytes"
	"fmt"
	"io"
	"sort"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Text is a log as UTF-8 text.
type Text struct {
	Data     []byte
	Encoding string // encoding of the file
	Replaced int    // characters that are invalid in that encoding
	Workbook bool
	Sheet    string    // name, in a workbook
	Date1904 bool      // serial dates count from 1904-01-01
	Formulas []Formula // cells whose value the workbook does not store; blank in Data
	starts   []int32
	rows     []int32 // workbook row of the record that starts on starts[i]
	joined   []joinedSheet
	stride   int
}

// File is a file that was read: one text, or one for each sheet read from a
// workbook.
type File struct {
	Texts  []*Text
	Sheets []Sheet // all sheets of a workbook; nil for another file
}

// Options select what is read of a workbook.
type Options struct {
	Sheets   string // comma-separated names; "" = all visible sheets
	Unpacked int64  // bytes to which a part may unpack, 0 = DefaultUnpacked
}

// Open reads separated text in UTF-8 (with or without a byte order mark),
// UTF-16 or Windows-1252, or the sheets of an .xlsx or .ods workbook. size, if
// known, avoids reallocation.
//
// It returns *LimitError, *FormatError or the error of r.
func Open(r io.Reader, size int64, o Options) (*File, error) {
	data, err := load(r, size)
	if err != nil {
		return nil, err
	}
	if isZip(data) {
		return openWorkbook(data, o)
	}
	if o.Sheets != "" {
		return nil, &FormatError{Reason: fmt.Sprintf("this is no workbook, so it has no sheet %q", o.Sheets)}
	}
	if err := binary(data); err != nil {
		return nil, err
	}
	t, err := decode(data)
	if err != nil {
		return nil, err
	}
	if err := controls(t.Data); err != nil {
		return nil, err
	}
	t.lineEnds()
	return &File{Texts: []*Text{t}}, nil
}

// lineEnds makes every line end in LF or CR LF: a CR alone ends a line too,
// even beside other line ends, as spreadsheet programs read it. The length does
// not change.
func (t *Text) lineEnds() {
	for at := 0; ; at++ {
		i := bytes.IndexByte(t.Data[at:], '\r')
		if i < 0 {
			return
		}
		if at += i; at+1 == len(t.Data) || t.Data[at+1] != '\n' {
			t.Data[at] = '\n'
		}
	}
}

func decode(data []byte) (*Text, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		return &Text{Data: data[3:], Encoding: "UTF-8 with byte order mark"}, nil
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return transform(data[2:], unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "UTF-16 little-endian")
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return transform(data[2:], unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), "UTF-16 big-endian")
	}
	if e, name := zeroPattern(data); e != nil {
		return transform(data, e, name)
	}
	if utf8.Valid(data) {
		return &Text{Data: data, Encoding: "UTF-8"}, nil
	}
	if stray, mostly := mostlyUTF8(data); mostly {
		return &Text{Data: data, Encoding: "UTF-8", Replaced: stray}, nil
	}
	return transform(data, charmap.Windows1252, "Windows-1252")
}

func transform(data []byte, e encoding.Encoding, name string) (*Text, error) {
	out, err := e.NewDecoder().Bytes(data)
	if err != nil {
		return nil, &FormatError{Reason: "the file starts like " + name + " text but is not"}
	}
	return &Text{Data: out, Encoding: name, Replaced: bytes.Count(out, []byte(string(utf8.RuneError)))}, nil
}

// zeroPattern detects UTF-16 without a byte order mark: in Latin text every
// second byte is zero.
func zeroPattern(data []byte) (encoding.Encoding, string) {
	head := data[:min(len(data), 4096)&^1]
	if len(head) < 8 {
		return nil, ""
	}
	var zeros [2]int
	for i, c := range head {
		if c == 0 {
			zeros[i%2]++
		}
	}
	half := len(head) / 2
	switch {
	case zeros[1]*10 > half*8 && zeros[0]*10 < half:
		return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "UTF-16 little-endian"
	case zeros[0]*10 > half*8 && zeros[1]*10 < half:
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), "UTF-16 big-endian"
	}
	return nil, ""
}

// mostlyUTF8 reports whether a text has more well-formed multi-byte characters
// than stray bytes, so that it is UTF-8 with a few broken cells. stray is the
// number of stray bytes.
func mostlyUTF8(data []byte) (stray int, mostly bool) {
	good, bad := 0, 0
	for i := 0; i < len(data); {
		if data[i] < utf8.RuneSelf {
			i++
			continue
		}
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n == 1 {
			bad++
		} else {
			good++
		}
		i += n
	}
	return bad, good > bad
}

// SourceLine converts a line of Data to the line of the file, which for a
// workbook is the row.
func (t *Text) SourceLine(line int) int {
	if t.rows == nil {
		return line
	}
	i := sort.Search(len(t.starts), func(i int) bool { return int(t.starts[i]) > line })
	if i == 0 {
		return line
	}
	return int(t.rows[i-1])
}
