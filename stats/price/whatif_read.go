package price

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// readRow reads values as one row of a log; values that are not given come from
// product i of the log if i is not negative.
func (m *Model) readRow(values map[string]string, i int) (*dataset.Log, error) {
	var header, cells []string
	given := map[string]bool{}
	for _, key := range slices.Sorted(maps.Keys(values)) {
		header = append(header, m.heading(key))
		cells = append(cells, values[key])
		given[key] = true
	}
	for _, key := range []string{"maker", "part"} {
		if !given[key] { // a row needs a name
			header, cells = append(header, key), append(cells, unnamed)
		}
	}
	if i < 0 && !given["media_area"] { // a log needs a measure
		header, cells = append(header, "media_area"), append(cells, "")
	}
	if i >= 0 {
		rows := m.rowsOf(i)
		for c := range catalogue.Recorded() {
			if text := m.recorded(i, c, rows); text != "" && !given[c.Name] {
				header, cells = append(header, c.Name), append(cells, text)
			}
		}
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	if err := w.WriteAll([][]string{header, cells}); err != nil {
		return nil, fmt.Errorf("writing the values as a row: %w", err)
	}
	log, err := dataset.Read(&text, "values given", dataset.Options{})
	if err != nil {
		return nil, err
	}
	for _, p := range log.Problems() {
		c, known := catalogue.LookUp(p.Name)
		switch {
		case known && c.Kind == catalogue.KindCategory:
			return nil, &ValueError{Column: p.Name, Text: p.Text, Message: "not one of " + strings.Join(c.Categories, ", ")}
		case !known || p.Severity == dataset.Unusable:
			return nil, &ValueError{Column: p.Name, Text: p.Text, Message: p.Message}
		}
	}
	if bad := notPositive(log, 0); len(bad) > 0 {
		return nil, bad[0]
	}
	return log, nil
}

// notPositive lists the prices, lengths, masses and areas of a row that are zero
// or less.
func notPositive(log *dataset.Log, row int) []*ValueError {
	var out []*ValueError
	for c := range catalogue.Recorded() {
		switch c.Kind {
		case catalogue.KindMoney, catalogue.KindLength, catalogue.KindMass, catalogue.KindArea:
			if values := log.Floats(c.Name); values != nil && values[row] <= 0 {
				cell, _ := log.Cell(row, c.Name)
				out = append(out, &ValueError{Column: c.Name, Text: cell.Text, Message: "zero or less, which no filter has"})
			}
		}
	}
	return out
}

// unread lists, by product, the cells of a log that were not used.
func unread(rows *dataset.Log) [][]string {
	out := make([][]string, rows.Products())
	productAt := map[int]int{} // by line
	for row := range rows.Rows() {
		id := rows.Product(row)
		productAt[rows.Line(row)] = id
		for _, e := range notPositive(rows, row) {
			out[id] = append(out[id], fmt.Sprintf("left out: line %d, %s", rows.Line(row), e.Error()))
		}
	}
	for _, p := range rows.Problems() {
		if id, ok := productAt[p.Line]; ok && p.Severity == dataset.Unusable {
			e := &ValueError{Column: p.Name, Text: p.Text, Message: p.Message}
			out[id] = append(out[id], fmt.Sprintf("left out: line %d, %s", p.Line, e.Error()))
		}
	}
	return out
}

// heading returns a column's header as the log writes it, so that the value is
// read in the same unit; for a column the log does not have, with the unit of the
// results.
func (m *Model) heading(key string) string {
	c, ok := catalogue.LookUp(key)
	if !ok {
		return key
	}
	if text, _ := m.log.Header(key); text != "" {
		return text
	}
	if symbol := m.log.Units().Of(key).Symbol; symbol != "" && c.Unit != "" {
		return key + " [" + symbol + "]"
	}
	return key
}

// recorded returns the mean of a column over a product's openings, or its
// category, as a cell that any log reads alike; "" where there is none.
func (m *Model) recorded(i int, c catalogue.Column, rows []int) string {
	p := &m.products[i]
	switch c.Kind {
	case catalogue.KindCategory:
		if k := slices.Index(words, c.Name); k >= 0 {
			return p.words[k]
		}
		return ""
	case catalogue.KindDate, catalogue.KindText, catalogue.KindMoney:
		return ""
	}
	values := m.log.Floats(c.Name)
	if values == nil || c.Name == "pack_quantity" { // prices are per filter already
		return ""
	}
	sum, n := 0.0, 0.0
	for _, row := range rows {
		if v := values[row]; !math.IsNaN(v) {
			sum += v
			n++
		}
	}
	if n == 0 {
		return ""
	}
	text := strconv.FormatFloat(sum/n, 'f', 6, 64)
	if c.Unit != "" {
		text += " " + c.Unit
	}
	return text
}

// rowsOf lists the openings of product i.
func (m *Model) rowsOf(i int) []int {
	makers, parts := m.log.Strings("maker"), m.log.Strings("part")
	var rows []int
	for row := range makers {
		if makers[row] == m.products[i].maker && parts[row] == m.products[i].part {
			rows = append(rows, row)
		}
	}
	return rows
}
