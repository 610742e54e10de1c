package render

import (
	"io"

	"pleatstat/dataset"
	"pleatstat/stats/latest"
	"pleatstat/stats/price"
)

type latestOpeningJSON struct {
	Maker   string        `json:"maker"`
	Part    string        `json:"part"`
	Line    int           `json:"line"`
	Opened  *string       `json:"opened"`
	Before  int           `json:"openings_before"`
	First   *string       `json:"first_of"`
	Verdict price.Verdict `json:"verdict"`
	News    []newsJSON    `json:"news"`
}

type newsJSON struct {
	Kind     latest.Kind `json:"kind"`
	Text     string      `json:"text"`
	Evidence *string     `json:"evidence"`
}

// LatestJSON writes what the newest openings showed.
func LatestJSON(w io.Writer, log *dataset.Log, l *latest.Latest) error {
	openings := make([]latestOpeningJSON, 0, len(l.Openings))
	for _, o := range l.Openings {
		news := []newsJSON{}
		for _, n := range NewsOf(o, l, log.Units()) {
			news = append(news, newsJSON{n.Kind, n.Text, orNull(n.Evidence)})
		}
		openings = append(openings, latestOpeningJSON{o.Maker, o.Part, o.Line, orNull(o.Opened), o.Before, orNull(string(o.First)),
			o.Verdict, news})
	}
	return writeJSON(w, struct {
		Schema   string              `json:"schema"`
		Log      readLogJSON         `json:"log"`
		Of       *string             `json:"of"` // the date told, where it is the last of the log
		Openings []latestOpeningJSON `json:"openings"`
	}{"pleatstat/latest/1", readLogOf(log), orNull(l.Of), openings})
}
