package changes

import (
	"io"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/dataset"
	"pleatstat/stats/drift"
)

// JSON writes the drift of every maker and measure.
func JSON(w io.Writer, log *dataset.Log, entries []drift.Entry) error {
	return encode.JSON(w, struct {
		Schema string        `json:"schema"`
		Log    encode.Log    `json:"log"`
		Drift  []drift.Entry `json:"drift"`
	}{"pleatstat/drift/1", encode.LogOf(log), entries})
}
