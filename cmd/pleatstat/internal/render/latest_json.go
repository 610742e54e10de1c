package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/latest"
)

// latestOpeningJSON is an opening with its news in words.
type latestOpeningJSON struct {
	latest.Opening
	News []Told `json:"news"`
}

// LatestJSON writes what the newest openings showed.
func LatestJSON(w io.Writer, log *dataset.Log, l *latest.Latest) error {
	openings := make([]latestOpeningJSON, len(l.Openings))
	for i, o := range l.Openings {
		openings[i] = latestOpeningJSON{o, NewsOf(o, l, log.Units())}
	}
	return writeJSON(w, struct {
		Schema   string              `json:"schema"`
		Log      readLogJSON         `json:"log"`
		Of       string              `json:"of" null:"zero"` // the date told, where it is the last of the log
		Openings []latestOpeningJSON `json:"openings"`
	}{"pleatstat/latest/1", readLogOf(log), l.Of, openings})
}
