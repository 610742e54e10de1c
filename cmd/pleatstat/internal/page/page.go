// Package page writes findings as one self-contained HTML file: charts and
// tables inside it, nothing fetched from anywhere, so that it works from disk.
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
)

// Page is the whole file.
type Page struct {
	Title    string
	Dark     bool
	About    string // one line below the title
	Sections []Section
}

// Section is one chapter.
type Section struct {
	ID     string // used in links; made safe by the template
	Title  string
	Points []string
	Charts []Chart
	Tables []Table
}

// Chart is a picture in two shapes: one for wide windows, one for phones. Both
// must come from the tool's own drawing, which escapes what the log says: they
// are put into the page as they are.
type Chart struct{ Wide, Upright []byte }

// Table is sorted by its headings.
type Table struct {
	ID, Caption string
	Columns     []Column
	Rows        [][]Cell
}

// Column heads a column; numeric ones sort by Cell.Value.
type Column struct {
	Words   string
	Numeric bool
}

// Cell is a text and, in a numeric column, what it sorts by (NaN = missing,
// sorted last).
type Cell struct {
	Text  string
	Value float64
}

//go:embed page.html
var layout string

//go:embed page.css
var style string

//go:embed sort.js
var script string

var compiled = template.Must(template.New("page").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(style) },
	"script": func() template.JS { return template.JS(script) },
	"chart":  func(svg []byte) template.HTML { return template.HTML(svg) },
	"policy": policy,
	"number": func(i int) int { return i + 1 },
	"key":    key,
}).Parse(layout))

// policy is the content policy: nothing may be loaded, only the page's own style
// and script, known by their hash, apply; images only from within (a chart of
// very many points holds one).
func policy() string {
	hash := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return fmt.Sprintf("default-src 'none'; style-src %s; script-src %s; img-src data:; base-uri 'none'; form-action 'none'", hash(style), hash(script))
}

// key is what a cell sorts by, "" for a missing number.
func key(c Cell) string {
	if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
		return ""
	}
	const digits = 6 // as the CSV files have: processors differ in later ones
	return strconv.FormatFloat(c.Value, 'g', digits, 64)
}

// Write writes the page. Line breaks are \n, as the policy's hashes need.
func Write(w io.Writer, p Page) error {
	if err := compiled.Execute(w, p); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}
