// Package page writes findings as one self-contained HTML file: charts and
// tables inside it, nothing fetched from anywhere, so that it works from disk.
//
// The first section is the answer, with the first chart beside it. Without script
// everything is there to read; the script adds sorting and searching.
//
// Names from a log are text: everything but the charts, which the tool drew
// itself, passes through html/template. A content policy in the head lets the
// page's own style and script run, by their hash, and nothing else.
package page

import (
	"crypto/sha256"
	_ "embed" // the template, style and script below
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"
)

// Page is the whole file.
type Page struct {
	Title    string
	Dark     bool     // dark always, not only where the reader's device is
	About    []string // lines below the title
	Sections []Section
}

// Section is one chapter.
type Section struct {
	ID     string // used in links; made safe by the template
	Title  string
	Blocks []Block
	Charts []Chart
	Tables []Table
}

// Block is some sentences of one kind: "list", "evidence", "laid" (lines of a
// table as they are laid out) or "" for paragraphs.
type Block struct {
	Kind  string
	Items [][]Span
}

// Span is a piece of a sentence; To is the id of what it leads to, "" for nothing.
type Span struct{ Text, To string }

// Chart is a picture in two shapes: one for wide windows, one for phones. Both
// must come from the tool's own drawing, which escapes what the log says: they
// are put into the page as they are.
type Chart struct{ Wide, Upright Picture }

// Picture is one drawing by day and by night; Night may be nil.
type Picture struct{ Day, Night []byte }

// Raster is a PNG picture as a drawing of a page; alt says what it shows.
func Raster(png []byte, alt string) []byte {
	return []byte(`<img alt="` + template.HTMLEscapeString(alt) + `" src="data:image/png;base64,` + base64.StdEncoding.EncodeToString(png) + `">`)
}

// Table is sorted by its headings. One with Find, the label of a search field,
// stands open; others are folded.
type Table struct {
	ID, Caption string
	Find        string
	Columns     []Column
	Rows        []Row
}

// Column heads a column; numeric ones sort by Cell.Value. The cells of a Head
// column, the first, name their rows.
type Column struct {
	Words         string
	Numeric, Head bool
}

// Row is a row; ID, where links may lead, may be "".
type Row struct {
	ID    string
	Cells []Cell
}

// Cell is a text, in a numeric column what it sorts by (NaN = missing, sorted
// last), a note to unfold, and classes of the style sheet.
type Cell struct {
	Text  string
	Value float64
	Note  string
	Mark  string
}

//go:embed page.html
var layout string

//go:embed page.css
var sheet string

//go:embed sort.js
var script string

// cellAt is a cell with what its column says.
type cellAt struct {
	Cell          Cell
	Numeric, Head bool
}

// Write writes the page. Line breaks are \n, as the policy's hashes need.
func Write(w io.Writer, p Page) error {
	colours := nightColours{}
	compiled, err := template.New("page").Funcs(template.FuncMap{
		"style":  func() template.CSS { return "" },
		"policy": func() string { return "" },
		"script": func() template.JS { return template.JS(script) },
		"chart":  func(pic Picture) template.HTML { return template.HTML(colours.merge(pic)) },
		"key":    key,
		"words":  headAndRest,
		"at": func(t Table, k int, c Cell) cellAt {
			return cellAt{c, t.Columns[k].Numeric, t.Columns[k].Head}
		},
	}).Parse(layout)
	if err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	for _, s := range p.Sections { // the colours of all charts, before the style sheet is written
		for _, c := range s.Charts {
			colours.merge(c.Wide)
			colours.merge(c.Upright)
		}
	}
	style := sheet + colours.css()
	compiled.Funcs(template.FuncMap{
		"style":  func() template.CSS { return template.CSS(style) },
		"policy": func() string { return policy(style) },
	})
	if err := compiled.Execute(w, p); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}

// policy is the content policy: nothing may be loaded, only the page's own style
// and script, known by their hash, apply; images only from within (a chart of
// very many points holds one).
func policy(style string) string {
	hash := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return fmt.Sprintf("default-src 'none'; style-src %s; script-src %s; img-src data:; base-uri 'none'; form-action 'none'", hash(style), hash(script))
}

// headAndRest cuts a name behind its first word, so that a part number is not
// broken at its hyphen; nil for one word.
func headAndRest(name string) []string {
	if first, rest, more := strings.Cut(name, " "); more {
		return []string{first, rest}
	}
	return nil
}

// key is what a cell sorts by, "" for a missing number.
func key(c Cell) string {
	if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
		return ""
	}
	const digits = 6 // as the CSV files have: processors differ in later ones
	return strconv.FormatFloat(c.Value, 'g', digits, 64)
}
