package sheet

import (
	"encoding/xml"
	"errors"
	"fmt"
	"path"
	"regexp"
	"strconv"
	"strings"
)

// openXLSX reads the list of sheets of an Office Open XML workbook (ECMA-376,
// part 1, section 18).
func openXLSX(a *archive) (*book, error) {
	main, err := mainPart(a)
	if err != nil {
		return nil, err
	}
	b := &book{}
	x := &xlsx{archive: a, relations: map[string]string{}}
	ids := []string{}
	err = a.walk(main, "its list of sheets", nil, func(t xml.Token) error {
		e, ok := t.(xml.StartElement)
		if !ok {
			return nil
		}
		switch e.Name.Local {
		case "workbookPr":
			on := attr(e, "date1904")
			x.from1904 = on == "1" || on == "true"
		case "sheet":
			state := attr(e, "state")
			b.sheets = append(b.sheets, Sheet{Name: attr(e, "name"), Hidden: state == "hidden" || state == "veryHidden"})
			ids = append(ids, attr(e, "id"))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	dir, file := path.Split(main)
	err = a.walk(dir+"_rels/"+file+".rels", "its list of parts", nil, func(t xml.Token) error {
		e, ok := t.(xml.StartElement)
		if !ok || e.Name.Local != "Relationship" || attr(e, "TargetMode") == "External" {
			return nil
		}
		target := attr(e, "Target")
		if !strings.HasPrefix(target, "/") {
			target = path.Join(dir, target)
		}
		target = strings.TrimPrefix(target, "/")
		x.relations[attr(e, "Id")] = target
		switch kind := attr(e, "Type"); {
		case strings.HasSuffix(kind, "/sharedStrings"):
			x.strings = target
		case strings.HasSuffix(kind, "/styles"):
			x.styles = target
		case strings.HasSuffix(kind, "/worksheet"):
			x.worksheets = append(x.worksheets, target)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	kept := b.sheets[:0]
	for i, s := range b.sheets {
		s.part = x.relations[ids[i]]
		for _, part := range x.worksheets { // a chart sheet holds no cells
			if part == s.part {
				kept = append(kept, s)
			}
		}
	}
	if b.sheets = kept; len(kept) == 0 {
		return nil, damaged("its list of sheets", 0, errors.New("it names none"))
	}
	b.read = x.read
	return b, nil
}

// mainPart returns the part that lists the sheets.
func mainPart(a *archive) (string, error) {
	const usual = "xl/workbook.xml"
	if a.parts[usual] != nil {
		return usual, nil
	}
	main := ""
	err := a.walk("_rels/.rels", "its list of parts", nil, func(t xml.Token) error {
		if e, ok := t.(xml.StartElement); ok && strings.HasSuffix(attr(e, "Type"), "/officeDocument") {
			main = strings.TrimPrefix(attr(e, "Target"), "/")
		}
		return nil
	})
	if err == nil && !strings.HasSuffix(main, "workbook.xml") {
		err = &FormatError{Reason: "this is an office document without a workbook in it; a log is a CSV file or an .xlsx or .ods workbook"}
	}
	return main, err
}

type xlsx struct {
	archive         *archive
	relations       map[string]string
	strings, styles string // names of parts, "" if there is none
	worksheets      []string
	from1904        bool

	shared  []string
	formats []numberFormat // by style
}

func (x *xlsx) read(wanted []Sheet) ([]*Text, error) {
	if x.styles != "" {
		if err := x.readStyles(); err != nil {
			return nil, err
		}
	}
	if x.strings != "" {
		if err := x.readShared(); err != nil {
			return nil, err
		}
	}
	var texts []*Text
	for _, s := range wanted {
		t, err := x.readSheet(s)
		if err != nil {
			return nil, err
		}
		t.Date1904 = x.from1904
		texts = append(texts, t)
	}
	return texts, nil
}

// readShared reads the shared strings, to which cells refer by number.
func (x *xlsx) readShared() error {
	var text strings.Builder
	inText, phonetic := false, false
	return x.archive.walk(x.strings, "its table of texts", nil, func(t xml.Token) error {
		switch e := t.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "si":
				text.Reset()
			case "rPh":
				phonetic = true
			case "t":
				inText = !phonetic
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "si":
				x.shared = append(x.shared, unescape(text.String()))
			case "rPh":
				phonetic = false
			case "t":
				inText = false
			}
		case xml.CharData:
			if inText {
				text.Write(e)
			}
		}
		return nil
	})
}

// escaped matches a character that XML cannot hold, as workbooks write it.
var escaped = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escaped.ReplaceAllStringFunc(s, func(m string) string {
		c, err := strconv.ParseUint(m[2:6], 16, 32)
		if err != nil {
			return m
		}
		return string(rune(c))
	})
}

// cell is the cell being read.
type cell struct {
	column         int
	kind           string
	format         int
	value, formula strings.Builder
	stored, hasF   bool
}

// readSheet reads one sheet completely.
func (x *xlsx) readSheet(s Sheet) (*Text, error) {
	what := "sheet " + quoted(s.Name)
	g := newGrid(s.Name, "xlsx", x.archive.limit)
	row, column := 0, 0
	inData, seen := false, false
	var c cell
	var into *strings.Builder
	err := x.archive.walk(s.part, what, &row, func(t xml.Token) error {
		switch e := t.(type) {
		case xml.StartElement:
			switch name := e.Name.Local; {
			case name == "sheetData":
				inData, seen = true, true
			case !inData:
			case name == "row":
				row, column = row+1, 0
				if r, ok := attribute(e, "r"); ok {
					n, err := strconv.Atoi(r)
					if err != nil || n < 1 || n > maxRow {
						return damaged(what, row-1, fmt.Errorf("%q is no row number", r))
					}
					row = n
				}
				g.next()
			case name == "c":
				c.begin(column)
				for _, a := range e.Attr {
					switch a.Name.Local {
					case "r":
						if c.column = columnOf(a.Value); c.column < 0 {
							return damaged(what, row, fmt.Errorf("%q is no place of a cell", a.Value))
						}
					case "t":
						c.kind = a.Value
					case "s":
						c.format, _ = strconv.Atoi(a.Value)
					}
				}
				column = c.column + 1
			case name == "v":
				c.stored, into = true, &c.value
			case name == "t" && c.kind == "inlineStr":
				c.stored, into = true, &c.value
			case name == "f":
				c.hasF, into = true, &c.formula
			}
		case xml.CharData:
			if into != nil {
				into.Write(e)
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "v", "f", "t":
				into = nil
			case "c":
				if !inData {
					return nil
				}
				if c.hasF && !c.stored {
					return g.formula(row, c.column, c.formula.String())
				}
				value, err := x.value(&c)
				if err != nil {
					return damaged(what, row, err)
				}
				return g.set(row, c.column, value)
			case "row":
				if inData {
					return g.end(row)
				}
			case "sheetData":
				inData = false
			}
		}
		return nil
	})
	if err == nil && !seen {
		err = damaged(what, 0, errors.New("it holds no table of cells"))
	}
	if err != nil {
		return nil, err
	}
	return g.done(), nil
}

// maxRow is the last row a sheet can have.
const maxRow = 1 << 20

func (c *cell) begin(column int) {
	c.column, c.kind, c.format, c.stored, c.hasF = column, "", 0, false, false
	c.value.Reset()
	c.formula.Reset()
}

// columnOf returns the column, from 0, of a cell reference such as AB12; -1 if
// it has none.
func columnOf(place string) int {
	n, i := 0, 0
	for ; i < len(place) && place[i] >= 'A' && place[i] <= 'Z'; i++ {
		if n = n*26 + int(place[i]-'A'+1); n > 1<<14 {
			return -1
		}
	}
	return n - 1
}

// value returns a cell as text: numbers as stored, not as rounded for display,
// with the currency or percent sign that only the display shows.
func (x *xlsx) value(c *cell) (string, error) {
	text := c.value.String()
	switch c.kind {
	case "s":
		if text == "" {
			return "", nil
		}
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 0 || n >= len(x.shared) {
			return "", fmt.Errorf("a cell refers to text %q, which is not there", text)
		}
		return x.shared[n], nil
	case "inlineStr", "str":
		return unescape(text), nil
	case "b":
		return map[string]string{"1": "TRUE", "0": "FALSE"}[text], nil
	case "e", "d":
		return text, nil
	}
	var f numberFormat
	if c.format >= 0 && c.format < len(x.formats) {
		f = x.formats[c.format]
	}
	return f.write(text, x.from1904), nil
}
