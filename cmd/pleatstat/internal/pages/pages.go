// Package pages lays out results as pages: the answer with its chart first, then
// tables of parts, texts with a link at each part, and the other charts, each drawn
// for a wide window and for a phone. Package page writes them as HTML.
package pages

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"pleatstat/cmd/pleatstat/internal/charts"
	"pleatstat/cmd/pleatstat/internal/page"
	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/findings"
	"pleatstat/cmd/pleatstat/internal/render/programme"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/plots"
	"pleatstat/stats/report"
	"pleatstat/stats/roundup"
)

// findLabel is the label of the search field of a table of parts.
const findLabel = "Find a maker or part"

// Report returns a report as one page: the answer with the first chart, every part in
// one table, then the findings and the other charts.
func Report(log *dataset.Log, found *report.Findings, drawn []charts.Named, detail bool, o charts.Options) ([]byte, error) {
	parts := findings.Parts(log, found)
	links := linksTo(parts)
	blocks := wording.Outline(func(t *wording.Text) { findings.Report(t, found, detail) })
	sections := sectionsOf(blocks, links)
	if at := slices.IndexFunc(drawn, func(c charts.Named) bool { return c.Name == "prices" }); at > 0 { // the verdicts on prices come first
		drawn = slices.Concat(drawn[at:at+1], drawn[:at], drawn[at+1:])
	}
	table := page.Section{ID: parts.ID, Title: "The parts", Tables: []page.Table{pageTable(parts)}}
	sections, err := withCharts(slices.Insert(sections, 1, table), 2, drawn, o)
	if err != nil {
		return nil, err
	}
	return written(page.Page{Title: "Findings from " + wording.Visible(filepath.Base(found.Log.File)),
		Dark: o.Dark(), Sections: sections})
}

// withCharts puts the first chart beside the answer and the others into a section of
// their own, inserted at index at.
func withCharts(sections []page.Section, at int, all []charts.Named, o charts.Options) ([]page.Section, error) {
	var drawn []page.Chart
	for _, c := range all {
		both, err := bothShapes(c.Chart, o)
		if err != nil {
			return nil, err
		}
		drawn = append(drawn, both)
	}
	if len(drawn) > 0 {
		sections[0].Charts = drawn[:1]
	}
	if len(drawn) > 1 {
		sections = slices.Insert(sections, at, page.Section{ID: "charts", Title: "Charts", Charts: drawn[1:]})
	}
	return sections, nil
}

// Roundup returns a roundup as one page: the year in short with the first chart, every
// part of the year in one table, then the chapters.
func Roundup(title string, r *roundup.Roundup, chapters []programme.Chapter, tables []encode.Table, drawn []charts.Named, o charts.Options) ([]byte, error) {
	parts := findings.PartsOfYear(r)
	links := linksTo(parts)
	var sections []page.Section
	led := false
	for _, c := range chapters {
		s := page.Section{ID: c.ID, Title: wording.Visible(c.Title)}
		list := page.Block{Kind: "list"}
		for _, point := range c.Points {
			list.Items = append(list.Items, links.spans(wording.Visible(point)))
		}
		if len(list.Items) > 0 {
			s.Blocks = []page.Block{list}
		}
		for _, note := range c.Notes {
			s.Blocks = append(s.Blocks, page.Block{Kind: "evidence", Items: [][]page.Span{links.spans(wording.Visible(note))}})
		}
		for _, name := range c.Charts {
			for _, chart := range drawn {
				if chart.Name != name {
					continue
				}
				both, err := bothShapes(chart.Chart, o)
				if err != nil {
					return nil, err
				}
				if !led { // the first chart belongs to the answer
					led = true
					sections[0].Charts = append(sections[0].Charts, both)
					continue
				}
				s.Charts = append(s.Charts, both)
			}
		}
		for _, name := range c.Tables {
			for _, t := range tables {
				if t.ID == name {
					s.Tables = append(s.Tables, pageTable(t))
				}
			}
		}
		sections = append(sections, s)
	}
	if len(parts.Rows) > 0 {
		sections = slices.Insert(sections, 1, page.Section{ID: parts.ID, Title: "The parts", Tables: []page.Table{pageTable(parts)}})
	}
	return written(page.Page{Title: wording.Visible(title), Dark: o.Dark(), Sections: sections})
}

func written(p page.Page) ([]byte, error) {
	var b bytes.Buffer
	err := page.Write(&b, p)
	return b.Bytes(), err
}

// heavy is the size in bytes from which a drawing goes into the page as a PNG instead
// of an SVG: a browser would be slow with its thousands of marks.
const heavy = 300_000

// bothShapes draws a chart for a wide window and for a phone held upright, in light
// and in dark colours; with the dark theme, in dark colours only.
func bothShapes(c *plots.Chart, o charts.Options) (page.Chart, error) {
	draw := func(size plots.Size) (page.Picture, error) {
		options := o.In(string(plots.SVG))
		options.Size, options.Transparent = size, false
		picture := func(theme plots.Theme) ([]byte, error) {
			options.Theme = theme
			drawn, err := plots.Render(c, options)
			if err != nil || options.Format == plots.SVG && len(drawn) < heavy {
				return drawn, err
			}
			if options.Format == plots.SVG {
				options.Format = plots.PNG
				drawn, err = plots.Render(c, options)
			}
			return page.Raster(drawn, c.Title), err
		}
		first := options.Theme
		day, err := picture(first)
		if err != nil || first == plots.Dark {
			return page.Picture{Day: day}, err
		}
		night, err := picture(plots.Dark)
		return page.Picture{Day: day, Night: night}, err
	}
	wide, err1 := draw(plots.DefaultSize())
	upright, err2 := draw(plots.Size{Width: 1080, Height: 1920})
	return page.Chart{Wide: wide, Upright: upright}, errors.Join(err1, err2)
}

// pageTable converts a table for the page. It leaves out columns without a heading,
// which are for other programs.
func pageTable(t encode.Table) page.Table {
	out := page.Table{ID: t.ID, Caption: wording.Visible(t.Title)}
	if t.RowIDs != nil {
		out.Find = findLabel
	}
	for i, c := range t.Columns {
		if c.Words != "" {
			out.Columns = append(out.Columns, page.Column{Words: c.Words, Numeric: c.Numeric, Head: i == 0 && t.RowIDs != nil})
		}
	}
	for k, row := range t.Rows {
		var r page.Row
		if t.RowIDs != nil {
			r.ID = t.RowIDs[k]
		}
		for i, c := range row {
			if t.Columns[i].Words != "" {
				cell := page.Cell{Text: wording.Visible(c.Text), Value: c.Value, Note: c.Note}
				if t.Columns[i].Key == "grade" && t.Columns[i].Numeric {
					cell.Mark = markOf(c.Value)
				}
				r.Cells = append(r.Cells, cell)
			}
		}
		out.Rows = append(out.Rows, r)
	}
	return out
}

// markOf returns the style classes of a grade, which the cell also states in words.
func markOf(grade float64) string {
	switch {
	case grade >= 3:
		return "above sure"
	case grade > 0:
		return "above"
	case grade <= -3:
		return "below sure"
	case grade < 0:
		return "below"
	}
	return ""
}

// sectionsOf splits a text at its headings. Blocks before the first heading go under
// it.
func sectionsOf(blocks []wording.Block, links partLinks) []page.Section {
	kinds := map[wording.BlockKind]string{wording.ItemBlock: "list", wording.EvidenceBlock: "evidence", wording.PreformattedBlock: "laid"}
	var out []page.Section
	var before []page.Block
	for _, b := range blocks {
		if b.Kind == wording.HeadingBlock {
			id := fmt.Sprintf("section-%d", len(out)+1)
			out = append(out, page.Section{ID: id, Title: b.Text, Blocks: before})
			before = nil
			continue
		}
		to := &before
		if len(out) > 0 {
			to = &out[len(out)-1].Blocks
		}
		if n := len(*to); n == 0 || (*to)[n-1].Kind != kinds[b.Kind] {
			*to = append(*to, page.Block{Kind: kinds[b.Kind]})
		}
		last := &(*to)[len(*to)-1]
		last.Items = append(last.Items, links.spans(b.Text))
	}
	return out
}
