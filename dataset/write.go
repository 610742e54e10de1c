package dataset

import (
	"bufio"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
)

// WriteBlank writes the header of an empty log: every recorded column, with its
// unit in the name.
func WriteBlank(w io.Writer) error {
	var names []string
	for c := range catalogue.Recorded() {
		names = append(names, headerName(c, c.Unit))
	}
	out := csv.NewWriter(w)
	if err := out.Write(names); err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// headerName returns a column's canonical name with its unit appended.
func headerName(c catalogue.Column, unit string) string {
	if _, ok := c.Kind.Dimension(); !ok {
		return c.Name
	}
	return c.Name + "_" + strings.NewReplacer("²", "2", "µ", "u", "%", "percent").Replace(unit)
}

// WriteNormalised writes a log as plain CSV: canonical headers, each column in
// one unit (the log's own), decimal points, ISO 8601 dates, one spelling for
// each category, and several readings in one cell as before. Reading the result
// gives the same values. Cells that could not be read are left blank. A text
// that a spreadsheet would run as a formula is written with an apostrophe in
// front, which reading removes again.
func WriteNormalised(w io.Writer, l *Log) error {
	buffered := bufio.NewWriterSize(w, 1<<16)
	out := csv.NewWriter(buffered)
	n := newNormal(l)
	record := make([]string, len(l.columns))
	for i, c := range l.columns {
		record[i] = n.header(c)
	}
	if err := out.Write(record); err != nil {
		return err
	}
	for row := range l.lines {
		for i, c := range l.columns {
			record[i] = n.cell(c, row)
		}
		if err := out.Write(record); err != nil {
			return err
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return err
	}
	return buffered.Flush()
}

// normal formats the cells of one log for WriteNormalised.
type normal struct {
	log            *Log
	several, rough map[*cells.Column]map[int]bool // rows with several readings; rows marked ~
	currency       *cells.Column
}

func newNormal(l *Log) *normal {
	n := &normal{log: l, several: map[*cells.Column]map[int]bool{}, rough: map[*cells.Column]map[int]bool{}, currency: l.byName["price_currency"]}
	for _, c := range l.columns {
		n.several[c], n.rough[c] = map[int]bool{}, map[int]bool{}
		for _, r := range c.Repeated() {
			n.several[c][r.Row] = true
		}
		for _, r := range c.Approx {
			n.rough[c][int(r)] = true
		}
	}
	return n
}

func (n *normal) header(c *cells.Column) string {
	switch {
	case !c.Known:
		return EscapeFormula(c.Name)
	case c.Name == "price" && n.currency == nil && n.log.units.currency != "":
		return c.Name + " (" + n.log.units.currency + ")"
	}
	return headerName(c.Def, c.Unit.Symbol)
}

func (n *normal) cell(c *cells.Column, row int) string {
	switch {
	case c == n.currency:
		return EscapeFormula(n.currencyOf(row))
	case c.Class == cells.Texts:
		return EscapeFormula(c.Word(row))
	case c.Class == cells.Dates:
		return FormatOpened(c.Num[row], c.PrecisionOf(row))
	}
	if _, more := n.log.claims[int32(row)]; more && c.Name == catalogue.ClaimColumn && !c.Percent {
		cell, _ := n.log.Cell(row, c.Name) // it has a particle size or a beta ratio, which a number cannot express
		return EscapeFormula(cell.Text)
	}
	values, behind := []float64{c.At(row)}, ""
	if f, ok := n.log.foreign[row]; ok && c.Name == "price" {
		values[0] = f.price
		if n.currency == nil {
			behind = " " + f.currency
		}
	} else if n.several[c][row] {
		if cell, ok := n.log.Cell(row, c.Name); ok {
			values = cell.Readings
		}
	}
	if len(values) == 0 || math.IsNaN(values[0]) {
		return ""
	}
	pieces := make([]string, len(values))
	for i, v := range values {
		switch pack := n.log.byName["pack_quantity"]; {
		case c.Name == "price" && pack != nil && pack.At(row) >= 1:
			pieces[i] = written(v, 1/pack.At(row), func(w float64) float64 { return w / pack.At(row) })
		case c.Def.Kind == catalogue.KindPercent:
			pieces[i] = plainNumber(v) + "%" // so that a column of small values is not read back as fractions of one
		case c.Unit.Base != 0:
			pieces[i] = written(v, c.Unit.Base, func(w float64) float64 { return w * c.Unit.Base })
		default:
			pieces[i] = plainNumber(v)
		}
		if n.rough[c][row] {
			pieces[i] = "~" + pieces[i]
		}
		pieces[i] += behind
	}
	return strings.Join(pieces, "; ")
}

// currencyOf returns the text of price_currency, corrected where the price
// itself is in another currency.
func (n *normal) currencyOf(row int) string {
	word := n.currency.Word(row)
	price := n.log.byName["price"]
	if price == nil {
		return word
	}
	actual := n.log.units.currency
	if f, ok := n.log.foreign[row]; ok {
		actual = f.currency
	} else if math.IsNaN(price.At(row)) {
		return word
	}
	if sign := cellparse.Currency(word); word == actual || sign != "" && sign == actual {
		return word
	}
	return actual
}

// written returns the shortest number w that reads back as v, that is, read(w)
// == v. v/scale approximates w.
func written(v, scale float64, read func(float64) float64) string {
	for digits := 12; digits < 17; digits++ {
		s := strconv.FormatFloat(v/scale, 'g', digits, 64)
		if w, err := strconv.ParseFloat(s, 64); err == nil && read(w) == v {
			return plainNumber(w)
		}
	}
	w := v / scale
	for _, try := range []float64{w, math.Nextafter(w, math.Inf(1)), math.Nextafter(w, math.Inf(-1))} {
		if read(try) == v {
			return plainNumber(try)
		}
	}
	return plainNumber(w)
}

// plainNumber formats a number with all its digits. One with three decimals
// gets a trailing zero, since it could be read as thousands.
func plainNumber(v float64) string {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if i := strings.IndexByte(s, '.'); i >= 0 && len(s)-i-1 == 3 {
		s += "0"
	}
	return s
}

// FormatOpened formats a decimal year as the date it stands for, at the
// precision given: 2024-03-08, 2024-03, 2024. It returns "" for NaN or an
// unknown precision.
func FormatOpened(opened float64, precision string) string {
	if math.IsNaN(opened) || opened < 1 || opened >= 10000 {
		return ""
	}
	at := dayOf(opened)
	switch precision {
	case "day":
		return at.Format("2006-01-02")
	case "month":
		return at.Format("2006-01")
	case "year":
		return at.Format("2006")
	}
	return ""
}

// dayOf converts a decimal year to a time.
func dayOf(decimal float64) time.Time {
	year := math.Floor(decimal)
	start := time.Date(int(year), time.January, 1, 0, 0, 0, 0, time.UTC)
	length := start.AddDate(1, 0, 0).Sub(start)
	return start.Add(time.Duration((decimal - year) * float64(length)))
}

// EscapeFormula puts an apostrophe before a text that spreadsheet programs would run
// as a formula. Reading a log removes it again.
func EscapeFormula(s string) string { return cellparse.EscapeFormula(s) }
