package dataset

import (
	"bufio"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// WriteBlank writes the header of an empty log: every recorded column, with its
// unit in the name.
func WriteBlank(w io.Writer) error {
	names := make([]string, len(recorded))
	for i, c := range recorded {
		names[i] = headerName(c)
	}
	out := csv.NewWriter(w)
	if err := out.Write(names); err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// headerName is a column's canonical name with its base unit behind it.
func headerName(c Column) string {
	if _, ok := dimension(c.Kind); !ok {
		return c.Name
	}
	suffix := strings.NewReplacer("²", "2", "µ", "u", "%", "percent").Replace(c.Unit)
	return c.Name + "_" + suffix
}

// WriteNormalised writes a log as plain CSV: canonical headers, base units,
// points for decimals, ISO dates, one spelling for each category, several
// readings as they were. Reading it gives the same values. Cells that could not
// be read are left blank. A text that a spreadsheet would run as a formula gets
// an apostrophe in front, which reading takes off again.
func WriteNormalised(w io.Writer, l *Log) error {
	buffered := bufio.NewWriterSize(w, 1<<16)
	out := csv.NewWriter(buffered)
	var cols []*column
	var header []string
	price := l.byName["price"]
	currency := l.byName["price_currency"]
	addCurrency := price != nil && currency == nil && (l.units.currency != "" || len(l.foreign) > 0)
	for _, c := range l.columns {
		name := defuse(c.name)
		if c.known {
			name = headerName(c.def)
		}
		cols, header = append(cols, c), append(header, name)
		if c == price && addCurrency {
			cols, header = append(cols, nil), append(header, "price_currency")
		}
	}
	if err := out.Write(header); err != nil {
		return err
	}
	several := make(map[*column]map[int]bool, len(cols))
	rough := make(map[*column]map[int]bool, len(cols))
	for _, c := range l.columns {
		several[c], rough[c] = map[int]bool{}, map[int]bool{}
		for _, r := range c.repeats {
			several[c][r.Row] = true
		}
		for _, r := range c.approx {
			rough[c][int(r)] = true
		}
	}
	record := make([]string, len(cols))
	for row := range l.lines {
		for i, c := range cols {
			if c == nil || c == currency {
				record[i] = l.currencyAt(row)
				continue
			}
			record[i] = l.normal(c, row, several[c][row], rough[c][row])
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

// currencyAt is the currency of a row's price.
func (l *Log) currencyAt(row int) string {
	if f, ok := l.foreign[row]; ok {
		return f.currency
	}
	return l.units.currency
}

// normal writes one cell.
func (l *Log) normal(c *column, row int, several, rough bool) string {
	switch c.class {
	case texts:
		return defuse(c.words.words[c.codes[row]])
	case dates:
		return FormatOpened(c.num[row], precisions[c.precision[row]])
	}
	v := c.num[row]
	if c.name == "price" {
		if f, ok := l.foreign[row]; ok {
			v = f.price
		}
		if pack := l.byName["pack_quantity"]; pack != nil && pack.num[row] >= 1 {
			v = undivided(v, pack.num[row])
		}
	}
	if math.IsNaN(v) {
		return ""
	}
	values := []float64{v}
	if several && c.name != "price" && c.name != "pack_quantity" {
		if cell, ok := l.Cell(row, c.name); ok && len(cell.Readings) > 1 {
			values = cell.Readings
		}
	}
	pieces := make([]string, len(values))
	for i, x := range values {
		pieces[i] = plainNumber(x)
		if rough {
			pieces[i] = "~" + pieces[i]
		}
		if c.def.Kind == KindPercent {
			pieces[i] += "%" // so that a small one is not taken for a fraction of one
		}
	}
	return strings.Join(pieces, "; ")
}

// plainNumber writes a number with all its digits. One that could be taken for
// thousands gets a zero more.
func plainNumber(v float64) string {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if i := strings.IndexByte(s, '.'); i >= 0 && len(s)-i-1 == 3 {
		s += "0"
	}
	return s
}

// undivided is the price of a pack that gives price when divided by n again.
func undivided(price, n float64) float64 {
	v := price * n
	rounded := math.Round(v*1e6) / 1e6
	for _, try := range []float64{rounded, v, math.Nextafter(v, math.Inf(1)), math.Nextafter(v, 0)} {
		if try/n == price {
			return try
		}
	}
	return v
}

// FormatOpened writes a decimal year of the frame as the date it stands for, at
// the precision given: 2024-03-08, 2024-03, 2024; "" for NaN or no precision.
func FormatOpened(opened float64, precision string) string {
	if math.IsNaN(opened) || opened < 1 || opened >= 10000 {
		return ""
	}
	year := int(opened)
	start := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)
	length := time.Date(year+1, 1, 1, 0, 0, 0, 0, time.UTC).Sub(start)
	at := start.Add(time.Duration((opened - float64(year)) * float64(length)))
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

// defuse makes a text harmless in a spreadsheet, which would run one that
// starts like a formula.
func defuse(s string) string {
	if s != "" && strings.ContainsRune(formulaStarts, rune(s[0])) {
		return "'" + s
	}
	return s
}

const formulaStarts = "=+-@"

// fuse takes the apostrophe of defuse off.
func fuse(s string) string {
	if len(s) > 1 && s[0] == '\'' && strings.ContainsRune(formulaStarts, rune(s[1])) {
		return s[1:]
	}
	return s
}
