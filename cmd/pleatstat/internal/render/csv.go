package render

import (
	"io"
	"math"
	"strconv"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"

	"pleatstat/dataset"
)

// writeCSV writes a table. Texts that a spreadsheet would run as a formula are
// defused, control characters spelt out.
func writeCSV(w io.Writer, header []string, rows [][]string) error {
	columns := make([]series.Series, len(header))
	for i, name := range header {
		cells := make([]string, len(rows))
		for row := range rows {
			cells[row] = dataset.Defuse(Visible(rows[row][i]))
		}
		columns[i] = series.New(cells, series.String, dataset.Defuse(Visible(name)))
	}
	return dataframe.New(columns...).WriteCSV(w)
}

// number is a value for a CSV cell; a missing one is left blank.
func number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(rounded(v), 'g', -1, 64)
}
