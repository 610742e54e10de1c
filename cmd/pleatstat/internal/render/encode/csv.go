package encode

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/dataset/catalogue"
)

// CSV writes a table. Texts that a spreadsheet would run as a formula are defused, and
// control characters escaped.
func CSV(w io.Writer, header []string, rows [][]string) error {
	columns := make([]series.Series, len(header))
	for i, name := range header {
		cells := make([]string, len(rows))
		for row := range rows {
			cells[row] = dataset.EscapeFormula(wording.Visible(rows[row][i]))
		}
		columns[i] = series.New(cells, series.String, dataset.EscapeFormula(wording.Visible(name)))
	}
	return dataframe.New(columns...).WriteCSV(w)
}

// Headed returns the heading of a CSV column with its unit: "value (in²)".
func Headed(key, unit string) string {
	if unit = strings.TrimSpace(unit); unit == "" {
		return key
	}
	return key + " (" + unit + ")"
}

// Number returns a value for a CSV cell, "" for a missing one.
func Number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(rounded(v), 'g', -1, 64)
}

// UnitOf returns the symbol of the unit in which a column of the log is shown.
func UnitOf(u dataset.Units, column string) string { return strings.TrimSpace(u.Of(column).Symbol) }

// InUnit returns a mean of a column for a CSV cell, in the log's unit and with one
// decimal more than readings have; money keeps its own. A missing value gives "".
func InUnit(u dataset.Units, column string, base float64) string {
	if catalogue.Facts(column).Kind == catalogue.KindMoney {
		return Digits(base*u.Of(column).PerBase, u.Of(column).Decimals)
	}
	return Digits(base*u.Of(column).PerBase, u.Of(column).Decimals+1)
}

// InRange returns a difference for a CSV cell, with one decimal more than a text shows
// of a range of that half width.
func InRange(v, half float64) string { return Digits(v, wording.DecimalsFor(half)+1) }

// Digits returns a number for a CSV cell with at most that many decimals, "" for a
// missing one.
func Digits(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return wording.TrimZeros(wording.Fixed(v, decimals))
}

// Hundred converts a fraction to per cent.
const Hundred = 100

// RowLike writes a header with the columns of a log, and an empty row below it.
func RowLike(w io.Writer, headers []string, separator rune) error {
	c := csv.NewWriter(w)
	c.Comma = separator
	safe := make([]string, len(headers))
	for i, h := range headers {
		safe[i] = dataset.EscapeFormula(wording.Visible(strings.Join(strings.Fields(h), " ")))
	}
	if err := c.Write(safe); err != nil {
		return err
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return err
	}
	_, err := io.WriteString(w, strings.Repeat(string(separator), max(len(headers)-1, 0))+"\n")
	return err
}
