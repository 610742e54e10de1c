package render

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
)

// writeCSV writes a table. Texts that a spreadsheet would run as a formula are
// defused, control characters spelt out.
func writeCSV(w io.Writer, header []string, rows [][]string) error {
	c := csv.NewWriter(w)
	for _, row := range append([][]string{header}, rows...) {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = Defuse(Visible(cell))
		}
		if err := c.Write(safe); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// Defuse puts an apostrophe before a text that spreadsheet programs take for a
// formula (one that starts with =, +, -, @ or their full-width forms); numbers
// are left alone.
func Defuse(cell string) string {
	start := strings.TrimLeft(cell, " \t\r\n\u00a0")
	if start == "" || start == "-" || !strings.ContainsAny(firstRune(start), "=+-@＝＋－＠") {
		return cell
	}
	if _, err := strconv.ParseFloat(start, 64); err == nil {
		return cell
	}
	return "'" + cell
}

func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}

// number is a value for a CSV cell, unrounded; a missing one is left blank.
func number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
