package render

import (
	"io"
	"strconv"
	"time"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// DriftCSV writes the drift of every maker and measure as a table. Changes are in
// the unit that stands in their row, the log's own or per cent.
func DriftCSV(w io.Writer, entries []drift.Entry, u dataset.Units) error {
	date := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.Format(time.DateOnly)
	}
	rows := make([][]string, 0, len(entries))
	for _, e := range entries {
		unit, scale := unitOf(u, e.Measure), u.Of(e.Measure).PerBase
		if e.Relative {
			unit, scale = "%", hundred
		}
		half := (e.High - e.Low) / 2 * scale
		step := ""
		if !e.ChangeFrom.IsZero() {
			step = inRange(e.Step*scale, (e.StepHigh-e.StepLow)/2*scale)
		}
		rows = append(rows, []string{e.Maker, e.Part, e.Measure, unit, strconv.Itoa(e.N), strconv.Itoa(e.Blocks),
			inRange(e.PerYear*scale, half), inRange(e.Low*scale, half), inRange(e.High*scale, half), number(e.P), number(e.Q), date(e.ChangeFrom), step, string(e.Verdict),
			inRange(e.Detectable*scale, e.Detectable*scale)})
	}
	const inIt = "in the unit"
	return writeCSV(w, []string{"maker", "part", "measure", "unit", "n", "blocks", headed("per_year", inIt), headed("low", inIt),
		headed("high", inIt), "p", "q", "change_from", headed("step", inIt), "verdict", headed("detectable_per_year", inIt)}, rows)
}
