// Package page writes findings as one self-contained HTML file: charts and tables are
// inside it and nothing is fetched, so that it works from disk.
//
// The first section is the answer, with the first chart beside it. Everything can be
// read without the script, which adds sorting and searching.
//
// Names from a log are text: everything but the charts, which the tool drew itself,
// passes through html/template. A content security policy in the head allows the
// page's own style and script, identified by their hashes, and nothing else.
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
	Dark     bool     // always dark, not only on a device set to dark
	About    []string // lines below the title
	Sections []Section
}

// Section is one chapter of the page.
type Section struct {
	ID     string // used in links; made safe by the template
	Title  string
	Blocks []Block
	Charts []Chart
	Tables []Table
}

// Block is a run of sentences of one kind: "list", "evidence", "laid" (lines of a
// table, with their spacing) or "" for paragraphs.
type Block struct {
	Kind  string
	Items [][]Span
}

// Span is a piece of a sentence; To is the ID that it links to, "" for none.
type Span struct{ Text, To string }

// Chart is a picture in two shapes: one for wide windows, one for phones. Both go
// into the page unescaped, so they must come from the tool's own drawing, which
// escapes text from the log.
type Chart struct{ Wide, Upright Picture }

// Picture is one drawing in light colours (Day) and in dark ones (Night, which may be
// nil).
type Picture struct{ Day, Night []byte }

// Raster returns a PNG picture as an HTML element; alt describes it in words.
func Raster(png []byte, alt string) []byte {
	return []byte(`<img alt="` + template.HTMLEscapeString(alt) + `" src="data:image/png;base64,` + base64.StdEncoding.EncodeToString(png) + `">`)
}

// Table is a table that the reader can sort by its headings. With Find, the label of
// a search field, it is shown open; without, it is folded.
type Table struct {
	ID, Caption string
	Find        string
	Columns     []Column
	Rows        []Row
}

// Column describes a column: Words is its heading; a Numeric column sorts by
// Cell.Value; the cells of the Head column, the first, name their rows.
type Column struct {
	Words         string
	Numeric, Head bool
}

// Row is a row of a table; links lead to its ID, if it has one.
type Row struct {
	ID    string
	Cells []Cell
}

// Cell is one cell: its text, the number that a numeric column sorts by (NaN =
// missing, sorted last), a note to unfold, and classes of the style sheet (Mark).
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

// cellAt is a cell with the properties of its column.
type cellAt struct {
	Cell          Cell
	Numeric, Head bool
}

// Write writes the page. Its line breaks must be \n: the hashes in the policy are of
// the style and script with such breaks.
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

// policy returns the content security policy: nothing may be loaded; only the page's
// own style and script, identified by their hashes, apply; images come only from
// within the page (a chart of very many points is one).
func policy(style string) string {
	hash := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return fmt.Sprintf("default-src 'none'; style-src %s; script-src %s; img-src data:; base-uri 'none'; form-action 'none'", hash(style), hash(script))
}

// headAndRest splits a name after its first word, so that a part number is not
// broken at its hyphen; it returns nil for a single word.
func headAndRest(name string) []string {
	if first, rest, more := strings.Cut(name, " "); more {
		return []string{first, rest}
	}
	return nil
}

// key returns what a cell sorts by, "" for a missing number.
func key(c Cell) string {
	if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
		return ""
	}
	const digits = 6 // as in the CSV files: later digits differ between processors
	return strconv.FormatFloat(c.Value, 'g', digits, 64)
}
