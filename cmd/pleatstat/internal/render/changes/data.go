package changes

import (
	"io"
	"strconv"
	"time"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// CSV writes the drift of every maker and measure as a table. The unit of the changes,
// the log's own or per cent, is in each row.
func CSV(w io.Writer, entries []drift.Entry, u dataset.Units) error {
	date := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.Format(time.DateOnly)
	}
	rows := make([][]string, 0, len(entries))
	for _, e := range entries {
		unit, scale := encode.UnitOf(u, e.Measure), u.Of(e.Measure).PerBase
		if e.Relative {
			unit, scale = "%", encode.Hundred
		}
		half := (e.High - e.Low) / 2 * scale
		step := ""
		if !e.ChangeFrom.IsZero() {
			step = encode.InRange(e.Step*scale, (e.StepHigh-e.StepLow)/2*scale)
		}
		rows = append(rows, []string{e.Maker, e.Part, e.Measure, unit, strconv.Itoa(e.N), strconv.Itoa(e.Blocks),
			encode.InRange(e.PerYear*scale, half), encode.InRange(e.Low*scale, half), encode.InRange(e.High*scale, half), encode.Number(e.P), encode.Number(e.Q), date(e.ChangeFrom), step, string(e.Verdict),
			encode.InRange(e.Detectable*scale, e.Detectable*scale)})
	}
	const inIt = "in the unit"
	return encode.CSV(w, []string{"maker", "part", "measure", "unit", "n", "blocks", encode.Headed("per_year", inIt), encode.Headed("low", inIt),
		encode.Headed("high", inIt), "p", "q", "change_from", encode.Headed("step", inIt), "verdict", encode.Headed("detectable_per_year", inIt)}, rows)
}

// JSON writes the drift of every maker and measure.
func JSON(w io.Writer, log *dataset.Log, entries []drift.Entry) error {
	return encode.JSON(w, struct {
		Schema string        `json:"schema"`
		Log    encode.Log    `json:"log"`
		Drift  []drift.Entry `json:"drift"`
	}{"pleatstat/drift/1", encode.LogOf(log), entries})
}
