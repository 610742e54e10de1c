package sheet

import (
	"encoding/xml"
	"errors"
	"math"
	"strconv"
	"strings"
)

// Namespaces of OpenDocument.
const (
	spaceTable   = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
	spaceText    = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
	spaceDrawing = "urn:oasis:names:tc:opendocument:xmlns:drawing:1.0"
)

// openODS reads an OpenDocument spreadsheet (ISO/IEC 26300), which keeps all
// sheets in one part. want selects the sheets to read.
func openODS(a *archive, want func(Sheet) bool) (*book, error) {
	if err := checkKind(a); err != nil {
		return nil, err
	}
	// The part holds each cell's value twice, as a number and as displayed, so
	// the limit is doubled.
	twice := &archive{parts: a.parts, limit: 2 * a.limit}
	r := &odsReader{want: want, limit: a.limit, hidden: map[string]bool{}}
	if err := twice.walkSpaces("content.xml", "its sheets", &r.row, r.visit); err != nil {
		return nil, err
	}
	if len(r.sheets) == 0 {
		return nil, damaged("its sheets", 0, errors.New("there are none"))
	}
	return &book{sheets: r.sheets, read: func(wanted []Sheet) ([]*Text, error) {
		var texts []*Text
		for _, s := range wanted {
			i, _ := strconv.Atoi(s.part)
			texts = append(texts, r.texts[i])
		}
		return texts, nil
	}}, nil
}

// checkKind returns an error for other kinds of documents and for those locked
// with a password.
func checkKind(a *archive) error {
	if a.parts["META-INF/manifest.xml"] == nil {
		return nil
	}
	locked, kind := false, ""
	err := a.walk("META-INF/manifest.xml", "its list of parts", nil, func(t xml.Token) error {
		if e, ok := t.(xml.StartElement); ok {
			switch e.Name.Local {
			case "encryption-data":
				locked = true
			case "file-entry":
				if attr(e, "full-path") == "/" {
					kind = attr(e, "media-type")
				}
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case locked:
		return &FormatError{Reason: "the workbook is locked with a password; save it without one"}
	case kind != "" && !strings.Contains(kind, "opendocument.spreadsheet"):
		return &FormatError{Reason: "this is an office document without a workbook in it; a log is a CSV file or an .xlsx or .ods workbook"}
	}
	return nil
}

// odsCell is the cell being read.
type odsCell struct {
	repeated int
	element  xml.StartElement
	text     strings.Builder
	lines    int
}

// odsReader reads the tables of an OpenDocument spreadsheet.
type odsReader struct {
	want   func(Sheet) bool
	limit  int64
	hidden map[string]bool // table styles that hide the table
	style  string          // name of the style being read
	sheets []Sheet
	texts  []*Text // by sheet; nil if not wanted

	inTable      bool
	g            *grid // current table; nil if not wanted
	row          int   // rows above the current one
	rowsRepeated int   // how often the current row is repeated
	column       int
	cell         *odsCell
	inText       int  // nesting depth of paragraphs
	fresh        bool // white space here is skipped
	skip         int  // nesting depth inside a skipped element
	formulasAt   int  // number of formulas above the current row
	before       int  // bytes written for the rows above it
}

// beside reports whether an element is not part of the cells: comments,
// drawings, tracked changes, links to other files.
func beside(space string, name xml.Name) bool {
	if space == spaceDrawing {
		return true
	}
	switch name.Local {
	case "annotation", "shapes", "tracked-changes", "table-source", "dde-links", "ruby-text", "note":
		return true
	}
	return false
}

func (r *odsReader) visit(t xml.Token, space string) error {
	switch e := t.(type) {
	case xml.StartElement:
		if r.skip > 0 || beside(space, e.Name) {
			r.skip++
			return nil
		}
		return r.begin(space, e)
	case xml.EndElement:
		if r.skip > 0 {
			r.skip--
			return nil
		}
		return r.end(space, e.Name)
	case xml.CharData:
		if r.skip == 0 && r.cell != nil && r.inText > 0 {
			r.write(string(e))
		}
	}
	return nil
}

// write appends text, replacing each run of white space by one space.
func (r *odsReader) write(s string) {
	for _, c := range s {
		if c == ' ' || c == '\t' || c == '\n' || c == '\r' {
			if !r.fresh {
				r.cell.text.WriteByte(' ')
			}
			r.fresh = true
			continue
		}
		r.fresh = false
		r.cell.text.WriteRune(c)
	}
}

func (r *odsReader) begin(space string, e xml.StartElement) error {
	switch space {
	case spaceTable:
		return r.beginTable(e)
	case spaceText:
		if r.cell != nil {
			r.beginText(e)
		}
	default:
		switch e.Name.Local {
		case "style":
			r.style = attr(e, "name")
		case "table-properties":
			r.hidden[r.style] = attr(e, "display") == "false"
		}
	}
	return nil
}

func (r *odsReader) beginTable(e xml.StartElement) error {
	switch e.Name.Local {
	case "table":
		if r.inTable {
			r.skip++ // a table within a cell
			return nil
		}
		s := Sheet{Name: attr(e, "name"), Hidden: r.hidden[attr(e, "style-name")], part: strconv.Itoa(len(r.sheets))}
		r.sheets, r.texts = append(r.sheets, s), append(r.texts, nil)
		r.inTable, r.row, r.rowsRepeated = true, 0, 0
		if r.want(s) {
			r.g = newGrid(s.Name, "ods", r.limit)
		}
	case "table-row":
		r.row += r.rowsRepeated
		r.rowsRepeated = repeated(e, "number-rows-repeated")
		if r.g != nil {
			r.g.next()
			r.column, r.formulasAt, r.before = 0, len(r.g.text.Formulas), r.g.out.Len()
		}
	case "table-cell", "covered-table-cell":
		if r.g != nil {
			r.cell = &odsCell{repeated: repeated(e, "number-columns-repeated"), element: e}
		}
	}
	return nil
}

func (r *odsReader) beginText(e xml.StartElement) {
	switch e.Name.Local {
	case "p", "h":
		if r.cell.lines++; r.cell.lines > 1 {
			r.cell.text.WriteByte('\n')
		}
		r.inText++
		r.fresh = true
	case "s", "tab":
		r.cell.text.WriteByte(' ')
	case "line-break":
		r.cell.text.WriteByte('\n')
		r.fresh = true
	}
}

func (r *odsReader) end(space string, name xml.Name) error {
	switch {
	case space == spaceText && (name.Local == "p" || name.Local == "h"):
		r.inText = max(r.inText-1, 0)
	case space != spaceTable:
	case name.Local == "table-cell", name.Local == "covered-table-cell":
		if c := r.cell; c != nil {
			r.cell, r.inText = nil, 0
			return r.place(c)
		}
	case name.Local == "table-row":
		return r.endRow()
	case name.Local == "table":
		if r.g != nil {
			r.texts[len(r.texts)-1] = r.g.done()
		}
		r.inTable, r.g, r.row, r.rowsRepeated = false, nil, 0, 0
	}
	return nil
}

// place stores a cell in the row as often as it is repeated.
func (r *odsReader) place(c *odsCell) error {
	from, row := r.column, r.row+1
	r.column += c.repeated
	value, unstored := c.value()
	if value == "" && !unstored {
		return nil
	}
	for k := range c.repeated {
		var err error
		if unstored {
			err = r.g.formula(row, from+k, strings.TrimPrefix(attr(c.element, "formula"), "of:"))
		} else {
			err = r.g.set(row, from+k, value)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// endRow writes a row as often as it is repeated. Blank rows, of which a sheet
// may end in a million, are skipped.
func (r *odsReader) endRow() error {
	if r.g == nil {
		return nil
	}
	formulas := r.g.text.Formulas[r.formulasAt:]
	if len(r.g.cells) == 0 && len(formulas) == 0 {
		return nil
	}
	if r.row+r.rowsRepeated > maxRow {
		return &LimitError{What: "sheet " + quoted(r.g.text.Sheet), Limit: int(r.limit)}
	}
	for k := range r.rowsRepeated {
		if k == 1 { // the size of the first row is now known
			if last := r.g.out.Len() - r.before; int64(last)*int64(r.rowsRepeated) > r.limit || len(formulas)*r.rowsRepeated > maxRow {
				return &LimitError{What: "sheet " + quoted(r.g.text.Sheet), Limit: int(r.limit)}
			}
		}
		if k > 0 {
			for _, f := range formulas {
				if err := r.g.formula(f.Row+k, f.Column-1, f.Text); err != nil {
					return err
				}
			}
		}
		if err := r.g.end(r.row + k + 1); err != nil {
			return err
		}
	}
	return nil
}

// repeated returns how often an element is repeated.
func repeated(e xml.StartElement, name string) int {
	n, err := strconv.Atoi(attr(e, name))
	if err != nil || n < 1 {
		return 1
	}
	return min(n, 1<<24)
}

// value returns a cell as the same text as xlsx.value would; unstored reports a
// formula without a stored value.
func (c *odsCell) value() (text string, unstored bool) {
	e := c.element
	kind, valued := attribute(e, "value-type")
	if _, formula := attribute(e, "formula"); formula && (!valued || kind == "void") {
		return "", true
	}
	number := func() (float64, bool) {
		v, err := strconv.ParseFloat(attr(e, "value"), 64)
		return v, err == nil
	}
	shown := c.text.String()
	switch kind {
	case "float":
		if s := attr(e, "value"); s != "" {
			return numberFormat{}.write(s, false), false
		}
	case "percentage":
		if v, ok := number(); ok {
			return strconv.FormatFloat(math.Round(v*1e12)/1e10, 'g', -1, 64) + "%", false
		}
	case "currency":
		if v, ok := number(); ok {
			return currencySign(attr(e, "currency")) + tidy(v), false
		}
	case "date":
		if day, _, _ := strings.Cut(attr(e, "date-value"), "T"); day != "" {
			return day, false
		}
	case "boolean":
		return strings.ToUpper(attr(e, "boolean-value")), false
	case "string":
		if s, ok := attribute(e, "string-value"); ok && shown == "" {
			return s, false
		}
	}
	return shown, false
}
