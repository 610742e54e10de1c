package render

import (
	"io"
	"math"

	"pleatstat/dataset"
	"pleatstat/stats/card"
)

const cardSchema = "pleatstat/show/1"

// usualJSON is what a part without a price would usually cost.
type usualJSON struct {
	Fair float64 `json:"fair"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// CardJSON writes the card of a part.
func CardJSON(w io.Writer, log *dataset.Log, c *card.Part) error {
	j := c.Judgement
	j.Verdict = c.Verdict
	var usual *usualJSON
	if v := c.Judgement.Verdict; math.IsNaN(c.Verdict.Fair) && !math.IsNaN(v.Fair) {
		usual = &usualJSON{v.Fair, v.Low, v.High}
	}
	return writeJSON(w, struct {
		Schema  string      `json:"schema"`
		Kind    string      `json:"kind"`
		Log     readLogJSON `json:"log"`
		Caution string      `json:"caution"`
		judgementJSON
		Usual      *usualJSON `json:"usual_without_price"`
		*card.Part `without:"maker,part,verdict"`
	}{cardSchema, "part", readLogOf(log), MountCaution, judgementOf(j), usual, c})
}

// MakerJSON writes the page of a maker.
func MakerJSON(w io.Writer, log *dataset.Log, m *card.Maker) error {
	return writeJSON(w, struct {
		Schema string      `json:"schema"`
		Kind   string      `json:"kind"`
		Log    readLogJSON `json:"log"`
		Maker  *card.Maker `json:"maker"`
	}{cardSchema, "maker", readLogOf(log), m})
}
