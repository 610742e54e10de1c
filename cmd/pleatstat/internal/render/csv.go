package render

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"

	"pleatstat/dataset"
)

// writeCSV writes a table. Texts that a spreadsheet would run as a formula are
// defused, control characters spelt out.
func writeCSV(w io.Writer, header []string, rows [][]string) error {
	c := csv.NewWriter(w)
	for _, row := range append([][]string{header}, rows...) {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = dataset.Defuse(Visible(cell))
		}
		if err := c.Write(safe); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// number is a value for a CSV cell; a missing one is left blank.
func number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(rounded(v), 'g', -1, 64)
}
