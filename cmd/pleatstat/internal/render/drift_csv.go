package render

import (
	"io"
	"strconv"
	"time"

	"pleatstat/stats/drift"
)

// DriftCSV writes the drift of every maker and measure as a table in base
// units.
func DriftCSV(w io.Writer, entries []drift.Entry) error {
	date := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.Format(time.DateOnly)
	}
	rows := make([][]string, 0, len(entries))
	for _, e := range entries {
		step := ""
		if !e.ChangeFrom.IsZero() {
			step = number(e.Step)
		}
		rows = append(rows, []string{e.Maker, e.Part, e.Measure, e.Unit, strconv.Itoa(e.N), strconv.Itoa(e.Blocks),
			number(e.PerYear), number(e.Low), number(e.High), number(e.P), number(e.Q),
			date(e.ChangeFrom), step, string(e.Verdict), number(e.Detectable)})
	}
	return writeCSV(w, []string{"maker", "part", "measure", "unit", "n", "blocks", "per_year", "low", "high", "p", "q",
		"change_from", "step", "verdict", "detectable_per_year"}, rows)
}
