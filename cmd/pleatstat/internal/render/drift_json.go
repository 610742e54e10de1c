package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// DriftJSON writes the drift of every maker and measure.
func DriftJSON(w io.Writer, log *dataset.Log, entries []drift.Entry) error {
	return writeJSON(w, struct {
		Schema string        `json:"schema"`
		Log    readLogJSON   `json:"log"`
		Drift  []drift.Entry `json:"drift"`
	}{"pleatstat/drift/1", readLogOf(log), entries})
}
